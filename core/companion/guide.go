package companion

import "math"

// defaultAgents are the agents offered when a pack names none: lidocaine
// only, until a pack enables another.
var defaultAgents = []string{"lidocaine"}

func about(c *Companion, _ *Nothing) (reply, error) {
	return &AboutReply{
		Interface:   Interface,
		Records:     c.journal != nil,
		Device:      c.writer.Device,
		PackID:      c.pack.ID,
		PackVersion: c.pack.Version,
		Damaged:     len(c.report.Damaged),
		Missing:     int(min(c.report.Missing, math.MaxInt32)),
		TornTail:    c.report.TornTail,
		Unconfirmed: c.report.Unconfirmed != nil,
		Locked:      c.lock.shut(),
		Lockable:    c.lock.vault != nil && !c.lock.shut(),
		Open:        c.inProgress(),
		Births:      len(c.state.Births),
		Aside:       c.aside,
	}, nil
}

// inProgress counts the births that are not closed; -1: nobody can know. Every screen asks for it,
// so it walks no birth's way, as the list of births does.
func (c *Companion) inProgress() int {
	if c.broken || c.lock.shut() {
		return -1
	}
	open := 0
	for i := range c.state.Births {
		if !c.state.Births[i].Closed {
			open++
		}
	}
	return open
}

func guidePage(c *Companion, r *PageRequest) (reply, error) {
	for _, page := range c.pack.Pages {
		if page.Key != r.Page {
			continue
		}
		items := make([]PageItem, len(page.Items))
		for i, it := range page.Items {
			items[i] = PageItem{Kind: it.Kind, Key: it.Key, Source: it.Source, Read: it.Read, Link: it.Link, Drawing: it.Drawing}
		}
		return &PageReply{Items: items}, nil
	}
	return nil, &Fault{Code: FaultPageUnknown, Field: "page", Detail: r.Page}
}

func guideChoices(c *Companion, _ *Nothing) (reply, error) {
	r := &ChoicesReply{
		AnaestheticSource: c.source(),
		Agents:            c.pack.Choices.Agents,
		Mixing:            c.mixing(),
	}
	if len(r.Agents) == 0 {
		r.Agents = defaultAgents
	}
	return r, nil
}

// source is the pack's choice among the published ceilings, by key.
func (c *Companion) source() string {
	if s := c.pack.Choices.AnaestheticSource; s != "" {
		return s
	}
	return "lowest"
}

// mixing is the pack's choice of the rule for two agents.
func (c *Companion) mixing() string {
	if m := c.pack.Choices.Mixing; m != "" {
		return m
	}
	return "strictest"
}
