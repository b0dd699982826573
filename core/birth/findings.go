package birth

import "fourchette/core/tear"

// setFinding enters the answer on one structure; false: no such structure.
func setFinding(f *tear.Findings, name, value string) bool {
	switch name {
	case tear.PerinealSkin:
		f.PerinealSkin = tear.Finding(value)
	case tear.VaginalMucosa:
		f.VaginalMucosa = tear.Finding(value)
	case tear.PerinealMuscle:
		f.PerinealMuscle = tear.Finding(value)
	case tear.ExternalSphincter:
		f.ExternalSphincter = tear.External(value)
	case tear.InternalSphincter:
		f.InternalSphincter = tear.Finding(value)
	case tear.AnorectalMucosa:
		f.AnorectalMucosa = tear.Finding(value)
	default:
		return false
	}
	return true
}
