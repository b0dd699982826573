package birth

import "fourchette/core/tear"

// setFinding enters the answer on one structure; false: no such structure.
func setFinding(f *tear.Findings, name, value string) bool {
	switch name {
	case "perineal_skin":
		f.PerinealSkin = tear.Finding(value)
	case "vaginal_mucosa":
		f.VaginalMucosa = tear.Finding(value)
	case "perineal_muscle":
		f.PerinealMuscle = tear.Finding(value)
	case "external_sphincter":
		f.ExternalSphincter = tear.External(value)
	case "internal_sphincter":
		f.InternalSphincter = tear.Finding(value)
	case "anorectal_mucosa":
		f.AnorectalMucosa = tear.Finding(value)
	default:
		return false
	}
	return true
}
