package fits

// letters are the known ones, of shafts; holes have the same in capitals.
var letters = []string{"c", "d", "e", "f", "g", "h", "js", "k", "m", "n", "p", "r", "s"}

// sizes are the upper limits of the ranges of sizes, mm.
var sizes = []float64{3, 6, 10, 18, 30, 50, 80, 120, 180, 250, 315, 400, 500}

// tolerances are the widths of the standard tolerances IT4 to IT11, µm, by the ranges of sizes.
var tolerances = [...][13]float64{
	{3, 4, 4, 5, 6, 7, 8, 10, 12, 14, 16, 18, 20},                  // IT4
	{4, 5, 6, 8, 9, 11, 13, 15, 18, 20, 23, 25, 27},                // IT5
	{6, 8, 9, 11, 13, 16, 19, 22, 25, 29, 32, 36, 40},              // IT6
	{10, 12, 15, 18, 21, 25, 30, 35, 40, 46, 52, 57, 63},           // IT7
	{14, 18, 22, 27, 33, 39, 46, 54, 63, 72, 81, 89, 97},           // IT8
	{25, 30, 36, 43, 52, 62, 74, 87, 100, 115, 130, 140, 155},      // IT9
	{40, 48, 58, 70, 84, 100, 120, 140, 160, 185, 210, 230, 250},   // IT10
	{60, 75, 90, 110, 130, 160, 190, 220, 250, 290, 320, 360, 400}, // IT11
}

// coarse are the fundamental deviations that have one value for each range of sizes, µm without sign: the upper deviation
// of the shafts d to h, which is below zero, and the lower one of k to p, which is above. k is that of grades 4 to 7.
var coarse = map[string][13]float64{
	"d": {20, 30, 40, 50, 65, 80, 100, 120, 145, 170, 190, 210, 230},
	"e": {14, 20, 25, 32, 40, 50, 60, 72, 85, 100, 110, 125, 135},
	"f": {6, 10, 13, 16, 20, 25, 30, 36, 43, 50, 56, 62, 68},
	"g": {2, 4, 5, 6, 7, 9, 10, 12, 14, 15, 17, 18, 20},
	"h": {},
	"k": {0, 1, 1, 1, 2, 2, 2, 3, 3, 4, 4, 4, 5},
	"m": {2, 4, 6, 7, 8, 9, 11, 13, 15, 17, 20, 21, 23},
	"n": {4, 8, 10, 12, 15, 17, 20, 23, 27, 31, 34, 37, 40},
	"p": {6, 12, 15, 18, 22, 26, 32, 37, 43, 50, 56, 62, 68},
}

// fineSizes are the upper limits of the narrower ranges, mm, that c, r and s have.
var fineSizes = []float64{3, 6, 10, 18, 30, 40, 50, 65, 80, 100, 120, 140, 160, 180, 200, 225, 250, 280, 315, 355, 400, 450, 500}

// fine are the fundamental deviations by those, µm without sign.
var fine = map[string][23]float64{
	"c": {60, 70, 80, 95, 110, 120, 130, 140, 150, 170, 180, 200, 210, 230, 240, 260, 280, 300, 330, 360, 400, 440, 480},
	"r": {10, 15, 19, 23, 28, 34, 34, 41, 43, 51, 54, 63, 65, 68, 77, 80, 84, 94, 98, 108, 114, 126, 132},
	"s": {14, 19, 23, 28, 35, 43, 43, 53, 59, 71, 79, 92, 100, 108, 122, 130, 140, 158, 170, 190, 208, 232, 252},
}
