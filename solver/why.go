package solver

// Unproved is a stretch of the turn over which nothing is proved, and why.
type Unproved struct {
	Interval
	Travel []Interval // the part of each travel to which that applies; nil for all of them
	Why    Why
}

// Why says why something is not proved.
type Why uint8

// Why something may not be proved.
const (
	NotTried        Why = iota // it was not asked to be proved
	EitherWay                  // the linkage can go either way
	NotAllAssembles            // part of a range cannot be assembled
	TooLong                    // more parts of the motion than the budget allows
	NotReached                 // the travels are not shown to lead there from rest without a jump
	AtDeadCentre               // too near to the dead centre at which the motion ends
	TooManySettings            // more separate settings than may be enclosed
	TooManyRanges              // more ranges than can be enclosed at once
	LooseLines                 // it follows from loose lines
	RoughDrive                 // what drives it has no enclosure
	RoughSum                   // the sum asked about has no enclosure
	NoValueThere               // the sum may have no value, or jump
	HeadingLost                // a heading in it cannot be followed over all of the turn
	WholeOpen                  // its least, greatest or span over the turn cannot be enclosed
	PlaceOpen                  // the place of a mark cannot be told apart
	Undecided                  // the bounds do not meet
	SizesPart                  // some sizes within the tolerances bring the linkage to its dead centre
	TooManySizes               // more sizes with a tolerance than can be enclosed at once
	SizesMoveRange             // the turn or a list of settings follows from a size
	SizesFault                 // the sketch has a mistake with a size at one end of its tolerance
	RoughOutline               // an outline has no enclosure over its sizes
	PlayShared                 // two parts with play go from pin to pin together
	PlayOtherwise              // with eyes of their own the parts are assembled another way
	LooseBinds                 // with some sizes loose lines bind, so that nothing is claimed of them
	SizesOverlap               // with some sizes the two may overlap, and how deep is not known
	PlayOverlap                // somewhere in their play the two may overlap, and how deep is not known
	SearchCut                  // the search between the steps of ranges ended at its bound
)

var whyWords = [...]string{
	NotTried:        "it was not tried",
	EitherWay:       "the linkage can go either way there",
	NotAllAssembles: "some of the range cannot be assembled there",
	TooLong:         "that would take too long",
	NotReached:      "the travels may not lead there from rest without a jump",
	AtDeadCentre:    "the motion ends or begins there on a dead centre, and nothing could be proved so near to it",
	TooManySettings: "the lists of travels have too many settings together",
	TooManyRanges:   "more ranges than can be proved at once",
	LooseLines:      "loose lines place it, and their pose is not smooth",
	RoughDrive:      "what moves it cannot be enclosed",
	RoughSum:        "the sum cannot be enclosed",
	NoValueThere:    "the sum may have no value there: a root may be of a negative number, a sine or cosine may pass 1, or a divisor may be zero",
	HeadingLost:     "a heading cannot be followed over all of the turn",
	WholeOpen:       "its least, greatest or span over the turn cannot be enclosed",
	PlaceOpen:       "the place of its mark could not be told from others: the figure is clipped there, or has two equal peaks",
	Undecided:       "its bounds could not be brought together",
	SizesPart:       "the linkage could not be enclosed there with all of these sizes: they vary too widely, or bring it near a dead centre",
	TooManySizes:    "more sizes than can be proved at once",
	SizesMoveRange:  "the turn or a list of settings follows from a size with a tolerance",
	SizesFault:      "with a size at one end of its tolerance the sketch itself has a mistake, such as a width below 0",
	RoughOutline:    "an outline cannot be enclosed over its sizes",
	PlayShared:      "two parts with play join the same two pins, and it cannot be told which of them sets the length",
	PlayOtherwise:   "with eyes of their own the parts would be put together another way",
	LooseBinds:      "with some sizes its loose lines bind, and the proof covers only sizes with which they do not",
	SizesOverlap:    "with some sizes the two may run into each other, and how deep is not known",
	PlayOverlap:     "somewhere in their play the two may run into each other, and how deep is not known",
	SearchCut:       "the search between the steps of the ranges ended at its bound, with places left that could be worse",
}

// String is the reason in words that follow a colon.
func (w Why) String() string { return word(whyWords[:], w, "why") }
