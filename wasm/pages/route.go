package pages

// route finds the page of a path. Every path has one: what is not known leads
// home and says so.
func (v *visit) route() page {
	switch v.step(0) {
	case "":
		return home(v)
	case "new":
		return newBirth(v)
	case "b":
		return v.birthRoute()
	case "grade":
		return v.tearRoute(quickTear(v))
	case "dose":
		return v.doseRoute(quickDose(v))
	case "emergency":
		return emergency(v)
	case "settings":
		return settings(v)
	case "about":
		return aboutPage(v)
	case "differ":
		return differences(v)
	}
	return notFound(v)
}

// birthRoute is everything under one birth's record.
func (v *visit) birthRoute() page {
	b, fault := v.loadBirth(v.step(1))
	if fault != nil {
		return birthGone(v, fault)
	}
	switch v.step(2) {
	case "":
		return record(v, b)
	case "close":
		return closeRecord(v, b)
	case "examine", "grade":
		return v.tearRoute(birthTear(v, b))
	case "dose":
		return v.doseRoute(birthDose(v, b))
	}
	return notFound(v)
}
