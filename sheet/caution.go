package sheet

// Cautions stand at the foot of each crew sheet. They are the usual ones of the
// trade (common practice, no published source) and name no local limit: the
// plant's procedures and local codes rule.
const (
	ruleOfPlant = " The plant's own procedures and local codes rule; this sheet advises and moves no machine."

	cautionCorrugator = "CAUTION  Nips draw in: thread at crawl, guards closed. Rolls, plates and steam burn. Caustic soda in the glue " +
		"kitchen: goggles, gloves, eyewash at hand. Keep out of the roll trucks' way. Lock out before entering." + ruleOfPlant

	cautionDryEnd = "CAUTION  Slitters, knife and shear cut: lock out before reaching in. Nips draw in. Board and plates are hot. " +
		"Tall or leaning stacks fall: keep clear of the lift and the eject side." + ruleOfPlant

	cautionConverting = "CAUTION  Feed, print and die nips draw in: guards closed, lock out before reaching in. Dies and slotter knives cut. " +
		"Straps spring back. Lift bundles within the plant's limit; get help above it. Stacks fall." + ruleOfPlant

	cautionStack = "Stacks fall: keep clear, carry level. Heights are planned from nominal caliper; board just made runs a few per cent thicker." + ruleOfPlant

	cautionLoad = "Mass and height are computed from nominal board, about ±5 %; weigh before a legal limit matters. Lifting, stacking and load securing: local codes rule."
)
