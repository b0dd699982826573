package companion

import (
	"strings"

	"fourchette/core/arrange"
)

// topics is every topic of this interface. A new one is a line here, its
// shapes in wire.go, its answer beside its kin, its cases in testdata/vectors.
var topics = map[string]topicFunc{
	"companion.about": topic(about),

	"tear.grade": topic(grade),

	"anaesthetic.rule":        topic(plainRule),
	"anaesthetic.ceiling":     topic(ceiling),
	"anaesthetic.dilute":      topic(dilute),
	"anaesthetic.draw_up":     topic(drawUp),
	"anaesthetic.rescue":      topic(rescue),
	"anaesthetic.body_weight": topic(bodyWeight),
	"anaesthetic.table":       topic(table),

	"bleeding.assess": topic(bleed),

	"supplies.lay_out":       topic(layOut),
	"supplies.reconcile":     topic(reconcile),
	"episiotomy.angle":       topic(angle),
	"episiotomy.indications": topic(indications),
	"repair.plan":            topic(planRepair),
	"aftercare.plan":         topic(planAftercare),

	"course.questions": topic(courseQuestions),
	"course.walk":      topic(courseWalk),

	"guide.page":    topic(guidePage),
	"guide.choices": topic(guideChoices),

	"birth.due":        topic(dueVisits),
	"birth.search":     topic(searchBirths),
	"lock.state":       topic(lockState),
	"lock.try":         topic(lockTry),
	"lock.untried":     topic(lockUntried),
	"lock.unlock":      topic(lockUnlock),
	"lock.unlock_code": topic(lockUnlockCode),
	"lock.lock":        topic(lockNow),
	"lock.recipe":      topic(lockRecipe),
	"lock.set_pin":     topic(lockSetPIN),
	"lock.new_code":    topic(lockNewCode),
	"lock.set_code":    topic(lockSetCode),

	"birth.list":           topic(listBirths),
	"birth.show":           topic(showBirth),
	"birth.open":           topic(openBirth),
	"birth.put_right":      topic(putRight),
	"birth.close":          topic(closeBirth),
	"birth.reopen":         topic(reopenBirth),
	"birth.find":           topic(find),
	"birth.grade":          topic(gradeBirth),
	"birth.note_grade":     topic(noteGrade),
	"birth.weigh":          topic(weigh),
	"birth.prior":          topic(tellPrior),
	"birth.ceiling":        topic(ceilingOfBirth),
	"birth.note_limit":     topic(noteLimit),
	"birth.inject":         topic(inject),
	"birth.correct_dose":   topic(correctDose),
	"birth.looked_through": topic(lookedThrough),
	"birth.answer":         topic(answerQuestion),
	"birth.count":          topic(countItems),
	"birth.counts":         topic(compareCounts),
	"birth.layer":          topic(closeLayer),
	"birth.visit":          topic(planVisit),
	"birth.repair":         topic(repairOfBirth),
	"birth.aftercare":      topic(aftercareOfBirth),

	"birth.due_for_deletion": topic(dueForDeletion),
	"records.delete":         topic(deleteBirths),
	"records.code":           topic(makeCode),
	"records.export_begin":   topic(beginExport),
	"records.export_next":    topic(nextExport),
	"records.import_begin":   topic(beginImport),
	"records.import_next":    topic(nextImport),
	"records.import_finish":  topic(endImport),
}

// keepsRecords says whether a topic rests on what the journal holds.
func keepsRecords(topic string) bool {
	return strings.HasPrefix(topic, "birth.") || strings.HasPrefix(topic, "records.") || topic == "course.walk"
}

// Topics lists the names of all topics, for tests that must cover each.
func Topics() []string {
	names := make([]string, 0, len(topics))
	for name := range topics {
		names = append(names, name)
	}
	arrange.By(names, strings.Compare)
	return names
}
