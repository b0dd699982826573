package plural

// operands are those of CLDR: i the whole part, v the count of decimals as
// written, f the decimals as a number. The value n is whole when f is 0.
type operands struct {
	i uint64
	v int
	f uint64
}

// is reports whether the value n equals the whole number k.
func (o operands) is(k uint64) bool { return o.f == 0 && o.i == k }

// written reports whether the number was written as the whole number k,
// without decimals: i = k and v = 0.
func (o operands) written(k uint64) bool { return o.v == 0 && o.i == k }

// within reports whether n % 100 is a whole number from low to high.
func (o operands) within(low, high uint64) bool {
	r := o.i % 100
	return o.f == 0 && low <= r && r <= high
}

// millions reports whether a number is a whole count of millions, for which
// the Romance languages say "of": e = 0 and i != 0 and i % 1000000 = 0 and v = 0.
func (o operands) millions() bool { return o.v == 0 && o.i != 0 && o.i%1000000 == 0 }

var (
	none   = Rule{[]Category{Other}, func(operands) Category { return Other }}
	single = oneIf(func(o operands) bool { return o.written(1) })
	unity  = oneIf(func(o operands) bool { return o.is(1) })
	upTo1  = oneIf(func(o operands) bool { return o.is(0) || o.is(1) })
	below1 = oneIf(func(o operands) bool { return o.i == 0 || o.is(1) })
)

var rules = map[string]Rule{
	"en": single, "sw": single, "ur": single,
	"ha": unity, "ne": unity, "so": unity, "ps": unity,
	"ln": upTo1, "mg": upTo1,
	"hi": below1, "bn": below1, "am": below1,
	"yo": none, "lo": none,
	"fr":    romance(func(o operands) bool { return o.i <= 1 }),
	"pt":    romance(func(o operands) bool { return o.i <= 1 }),
	"pt-PT": romance(func(o operands) bool { return o.written(1) }),
	"es":    romance(func(o operands) bool { return o.is(1) }),
	"ar":    {[]Category{Zero, One, Two, Few, Many, Other}, arabic},
}

func oneIf(one func(operands) bool) Rule {
	return Rule{[]Category{One, Other}, func(o operands) Category {
		if one(o) {
			return One
		}
		return Other
	}}
}

func romance(one func(operands) bool) Rule {
	return Rule{[]Category{One, Many, Other}, func(o operands) Category {
		switch {
		case one(o):
			return One
		case o.millions():
			return Many
		}
		return Other
	}}
}

func arabic(o operands) Category {
	switch {
	case o.is(0):
		return Zero
	case o.is(1):
		return One
	case o.is(2):
		return Two
	case o.within(3, 10):
		return Few
	case o.within(11, 99):
		return Many
	}
	return Other
}

// parse reads a number as it is written. Eighteen digits fit a uint64.
func parse(s string) (o operands, ok bool) {
	whole, decimals := s, ""
	for k := 0; k < len(s); k++ {
		if s[k] == '.' {
			whole, decimals = s[:k], s[k+1:]
			if decimals == "" {
				return operands{}, false
			}
			break
		}
	}
	if o.i, ok = digits(whole); !ok || whole == "" {
		return operands{}, false
	}
	if o.f, ok = digits(decimals); !ok {
		return operands{}, false
	}
	o.v = len(decimals)
	return o, true
}

func digits(s string) (n uint64, ok bool) {
	if len(s) > 18 {
		return 0, false
	}
	for k := 0; k < len(s); k++ {
		if s[k] < '0' || s[k] > '9' {
			return 0, false
		}
		n = n*10 + uint64(s[k]-'0')
	}
	return n, true
}
