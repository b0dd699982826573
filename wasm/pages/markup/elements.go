package markup

// The elements and attributes that the pages use.

func A(children ...Node) Node        { return El("a", children...) }
func Article(children ...Node) Node  { return El("article", children...) }
func Aside(children ...Node) Node    { return El("aside", children...) }
func B(children ...Node) Node        { return El("b", children...) }
func Button(children ...Node) Node   { return El("button", children...) }
func Dd(children ...Node) Node       { return El("dd", children...) }
func Del(children ...Node) Node      { return El("del", children...) }
func Details(children ...Node) Node  { return El("details", children...) }
func Div(children ...Node) Node      { return El("div", children...) }
func Dl(children ...Node) Node       { return El("dl", children...) }
func Dt(children ...Node) Node       { return El("dt", children...) }
func FieldSet(children ...Node) Node { return El("fieldset", children...) }
func Figure(children ...Node) Node   { return El("figure", children...) }
func Footer(children ...Node) Node   { return El("footer", children...) }
func Form(children ...Node) Node     { return El("form", children...) }
func H1(children ...Node) Node       { return El("h1", children...) }
func H2(children ...Node) Node       { return El("h2", children...) }
func H3(children ...Node) Node       { return El("h3", children...) }
func Header(children ...Node) Node   { return El("header", children...) }
func Input(children ...Node) Node    { return El("input", children...) }
func Label(children ...Node) Node    { return El("label", children...) }
func Legend(children ...Node) Node   { return El("legend", children...) }
func Li(children ...Node) Node       { return El("li", children...) }
func Main(children ...Node) Node     { return El("main", children...) }
func Nav(children ...Node) Node      { return El("nav", children...) }
func Ol(children ...Node) Node       { return El("ol", children...) }
func P(children ...Node) Node        { return El("p", children...) }
func Pre(children ...Node) Node      { return El("pre", children...) }
func Section(children ...Node) Node  { return El("section", children...) }
func Small(children ...Node) Node    { return El("small", children...) }
func Span(children ...Node) Node     { return El("span", children...) }
func Strong(children ...Node) Node   { return El("strong", children...) }
func Summary(children ...Node) Node  { return El("summary", children...) }
func Table(children ...Node) Node    { return El("table", children...) }
func TBody(children ...Node) Node    { return El("tbody", children...) }
func Td(children ...Node) Node       { return El("td", children...) }
func Th(children ...Node) Node       { return El("th", children...) }
func THead(children ...Node) Node    { return El("thead", children...) }
func Time(children ...Node) Node     { return El("time", children...) }
func Tr(children ...Node) Node       { return El("tr", children...) }
func Ul(children ...Node) Node       { return El("ul", children...) }

func Action(v string) Node       { return Attr("action", v) }
func AutoComplete(v string) Node { return Attr("autocomplete", v) }
func Class(v string) Node        { return Attr("class", v) }
func DateTime(v string) Node     { return Attr("datetime", v) }
func Dir(v string) Node          { return Attr("dir", v) }
func For(v string) Node          { return Attr("for", v) }
func Href(v string) Node         { return Attr("href", v) }
func ID(v string) Node           { return Attr("id", v) }
func Lang(v string) Node         { return Attr("lang", v) }
func MaxLength(v string) Node    { return Attr("maxlength", v) }
func Method(v string) Node       { return Attr("method", v) }
func Name(v string) Node         { return Attr("name", v) }
func Role(v string) Node         { return Attr("role", v) }
func Scope(v string) Node        { return Attr("scope", v) }
func TabIndex(v string) Node     { return Attr("tabindex", v) }
func Type(v string) Node         { return Attr("type", v) }
func Value(v string) Node        { return Attr("value", v) }

// Data is a data-… attribute.
func Data(name, v string) Node { return Attr("data-"+name, v) }

func Checked() Node { return Attr("checked") }
