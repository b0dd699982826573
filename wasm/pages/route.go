package pages

// route finds the page of a path. Every path has one: what is not known leads
// home and says so.
func (v *visit) route() page {
	if showsRecords[v.step(0)] && v.app.missing != nil {
		return missing(v)
	}
	if needs := showsRecords[v.step(0)] && v.step(0) != "" || v.step(0) == "records"; needs && v.app.host.Storage != "" {
		return notHere(v)
	}
	switch v.step(0) {
	case "b", "new", "due", "find", "records":
		if v.locked() {
			return lockPage(v)
		}
	}
	switch v.step(0) {
	case "":
		return home(v)
	case "take":
		return take(v)
	case "missing":
		return missing(v)
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
	case "lock":
		return v.lockRoute()
	case "records":
		return v.copiesRoute()
	case "reminder":
		return reminder(v)
	case "due":
		return duePage(v)
	case "find":
		return findPage(v)
	}
	return notFound(v)
}

// showsRecords are the first steps of paths that say what is in the records;
// the list of births is there without them, too.
var showsRecords = map[string]bool{"": true, "new": true, "b": true, "due": true, "find": true}

// birthRoute is everything under one birth's record.
func (v *visit) birthRoute() page {
	if v.step(1) == "" {
		return notFound(v)
	}
	b, fault := v.loadBirth(v.step(1))
	if fault != nil {
		return birthGone(v, fault)
	}
	if p, ask := v.rightWoman(b); ask {
		return p
	}
	if v.posted() {
		v.app.last = b.Birth
	}
	if p, done := v.reopened(b); done {
		return p
	}
	v.closed = b.Closed
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
	if show := wayPages[v.step(2)]; show != nil {
		return show(v.way(b))
	}
	return notFound(v)
}

// wayPages are the pages of the way of one birth.
var wayPages map[string]func(*way) page

func init() { // a literal would be a circle: pages lead to pages
	wayPages = map[string]func(*way) page{
		"born": bornPage, "stage": stagePage, "ask": askPage, "needs": needsPage, "looked": lookedPage, "layout": layoutPage, "count": countPage,
		"numb": numbPage, "repair": repairPage, "after": afterPage, "advice": advicePage, "visits": visitsPage,
		"handover": handoverPage, "refer": referPage, "register": registerPage,
	}
}
