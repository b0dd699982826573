package main

// pluralForms are the Plural-Forms headers that make a translator's tool number
// the forms as i18n/plural does: in the order of CLDR's categories. The
// expressions are C and JavaScript alike; a test runs them against the rules.
var pluralForms = map[string]string{
	"en": one, "sw": one, "ur": one, "ha": one, "ne": one, "so": one, "ps": one, "en-XA": one,
	"hi": upToOne, "bn": upToOne, "am": upToOne, "ln": upToOne, "mg": upToOne,
	"yo": "nplurals=1; plural=0;", "lo": "nplurals=1; plural=0;",
	"fr": "nplurals=3; plural=(n == 0 || n == 1) ? 0 : n % 1000000 == 0 ? 1 : 2;",
	"pt": "nplurals=3; plural=(n == 0 || n == 1) ? 0 : n % 1000000 == 0 ? 1 : 2;",
	"es": millions, "pt-PT": millions,
	"ar": arabic, "ar-XB": arabic,
}

const (
	one      = "nplurals=2; plural=(n != 1);"
	upToOne  = "nplurals=2; plural=(n > 1);"
	millions = "nplurals=3; plural=n == 1 ? 0 : n != 0 && n % 1000000 == 0 ? 1 : 2;"
	arabic   = "nplurals=6; plural=n == 0 ? 0 : n == 1 ? 1 : n == 2 ? 2 : n % 100 >= 3 && n % 100 <= 10 ? 3 : n % 100 >= 11 ? 4 : 5;"
)
