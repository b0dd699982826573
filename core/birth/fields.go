package birth

import "fourchette/core/msgpack"

// Fields is the envelope, then the body under the name of its kind. Here and
// below, names and order are the bytes: nothing moves.
func (e *Event) Fields(f *msgpack.Fields) {
	f.Byte("v", &e.Schema)
	f.Text("d", &e.Device)
	f.Uint("n", &e.Seq)
	f.Uint("l", &e.Lamport)
	f.Int("w", &e.Wall)
	f.Int("u", &e.Running)
	f.Text("r", &e.Run)
	f.Text("b", &e.Birth)
	f.Text("k", &e.Kind)
	msgpack.Optional(f, KindOpened, &e.Opened)
	msgpack.Optional(f, KindFinding, &e.Finding)
	msgpack.Optional(f, KindRectal, &e.Rectal)
	msgpack.Optional(f, KindEpisiotomy, &e.Episiotomy)
	msgpack.Optional(f, KindWeight, &e.Weight)
	msgpack.Optional(f, KindPrior, &e.Prior)
	msgpack.Optional(f, KindDose, &e.Dose)
	msgpack.Optional(f, KindDoseCorrected, &e.DoseCorrected)
	msgpack.Optional(f, KindGradeNoted, &e.GradeNoted)
	msgpack.Optional(f, KindLimitNoted, &e.LimitNoted)
	msgpack.Optional(f, KindAnswer, &e.Answer)
	msgpack.Optional(f, KindCount, &e.Count)
	msgpack.Optional(f, KindLayer, &e.Layer)
	msgpack.Optional(f, KindVisit, &e.Visit)
	msgpack.Optional(f, KindDespite, &e.Despite)
	msgpack.Optional(f, KindDeleted, &e.Deleted)
}

// Fields is the body of Opened.
func (o *Opened) Fields(f *msgpack.Fields) {
	f.Text("bed", &o.Bed)
	f.Int("born_at", &o.BornAt)
	f.Bool("born_known", &o.BornKnown)
}

// Fields is the body of Finding.
func (x *Finding) Fields(f *msgpack.Fields) {
	f.Text("name", &x.Name)
	f.Text("value", &x.Value)
}

// Fields is the body of Rectal.
func (r *Rectal) Fields(f *msgpack.Fields) { f.Text("value", &r.Value) }

// Fields is the body of Episiotomy.
func (e *Episiotomy) Fields(f *msgpack.Fields) { f.Bool("cut", &e.Cut) }

// Fields is the body of Weight.
func (w *Weight) Fields(f *msgpack.Fields) {
	f.Int("grams", &w.Grams)
	f.Bool("not_weighed", &w.NotWeighed)
	f.Whole("height_cm", &w.HeightCm)
}

// Fields is the body of Prior.
func (p *Prior) Fields(f *msgpack.Fields) { f.Text("told", &p.Told) }

// Fields is the body of Dose.
func (d *Dose) Fields(f *msgpack.Fields) {
	f.Text("agent", &d.Agent)
	f.Bool("adrenaline", &d.Adrenaline)
	f.Int("micrograms", &d.Micrograms)
	f.Int("microlitres", &d.Microlitres)
	f.Int("strength", &d.Strength)
	f.Text("site", &d.Site)
	f.Bool("prior", &d.Prior)
}

// Fields is the body of DoseCorrected.
func (c *DoseCorrected) Fields(f *msgpack.Fields) {
	f.Text("of", &c.Of)
	f.Bool("void", &c.Void)
	msgpack.Optional(f, "dose", &c.Dose)
}

// Fields is the body of GradeNoted.
func (g *GradeNoted) Fields(f *msgpack.Fields) {
	f.Text("grade", &g.Grade)
	f.Text("at_least", &g.AtLeast)
	f.Text("at_most", &g.AtMost)
	f.Text("treat_as", &g.TreatAs)
	f.Bool("settled", &g.Settled)
	f.Bool("buttonhole", &g.Buttonhole)
	f.Texts("because", &g.Because)
}

// Fields is the body of LimitNoted.
func (l *LimitNoted) Fields(f *msgpack.Fields) {
	f.Text("agent", &l.Agent)
	f.Bool("adrenaline", &l.Adrenaline)
	f.Int("strength", &l.Strength)
	f.Int("micrograms", &l.Micrograms)
	f.Int("microlitres", &l.Microlitres)
	f.Text("bound_by", &l.BoundBy)
	f.Text("source", &l.Source)
	f.Bool("weight_assumed", &l.WeightAssumed)
}

// Fields is the body of Answer.
func (a *Answer) Fields(f *msgpack.Fields) {
	f.Text("question", &a.Question)
	f.Text("kind", &a.Kind)
	f.TextIf("value", &a.Value)
	f.IntIf("number", &a.Number)
	f.IntIf("at", &a.At)
	f.TextIf("text", &a.Text)
}

// Fields is the body of Count.
func (c *Count) Fields(f *msgpack.Fields) {
	f.Text("phase", &c.Phase)
	msgpack.Shapes(f, "items", &c.Items)
}

// Fields is one line of a Count.
func (i *CountItem) Fields(f *msgpack.Fields) {
	f.Text("item", &i.Item)
	f.Whole("n", &i.N)
}

// Fields is the body of Layer.
func (l *Layer) Fields(f *msgpack.Fields) {
	f.Text("layer", &l.Layer)
	f.Bool("done", &l.Done)
}

// Fields is the body of Visit.
func (v *Visit) Fields(f *msgpack.Fields) {
	f.Text("key", &v.Key)
	f.Text("date", &v.Date)
	f.Bool("confirmed", &v.Confirmed)
}

// Fields is the body of Despite.
func (d *Despite) Fields(f *msgpack.Fields) {
	f.Text("deed", &d.Deed)
	f.TextIf("of", &d.Of)
	f.Texts("open", &d.Open)
}

// Fields is the body of Deleted.
func (d *Deleted) Fields(f *msgpack.Fields) { f.Text("reason", &d.Reason) }
