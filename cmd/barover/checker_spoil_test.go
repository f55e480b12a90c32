package main

import (
	"math"
	"slices"

	"barover/cmd/barover/checker"
)

// A spoil makes an answer wrong in one way. It is asked for its n-th place, and reports whether there is one.
type spoil func(s *checker.Sketch, a *checker.Answer, n int) bool

// spoils are the ways in which an answer of `check --json` may be wrong.
var spoils = map[string]spoil{
	"the verdict is the other": func(s *checker.Sketch, a *checker.Answer, n int) bool {
		c := nth(a, n, every)
		if c == nil {
			return false
		}
		c.OK = !c.OK
		return true
	},
	"a least is too great": func(s *checker.Sketch, a *checker.Answer, n int) bool {
		c := nth(a, n, func(c *checker.Answered) bool { return c.Kind == "clear" && c.Least != nil && *c.Least > 0 })
		if c == nil {
			return false
		}
		*c.Least += 3 * s.Tolerance()
		return true
	},
	"a least is too small": func(s *checker.Sketch, a *checker.Answer, n int) bool {
		c := nth(a, n, func(c *checker.Answered) bool { return c.Kind == "clear" && c.Least != nil && *c.Least > 0 })
		if c == nil {
			return false
		}
		*c.Least -= 3 * s.Tolerance()
		return true
	},
	"the greatest of a sum is out": func(s *checker.Sketch, a *checker.Answer, n int) bool {
		c := nth(a, n, func(c *checker.Answered) bool { return c.Kind == "keep" })
		if c == nil {
			return false
		}
		*c.Greatest += 0.01 * s.Size()
		return true
	},
	"a stretch ends too late": func(s *checker.Sketch, a *checker.Answer, n int) bool {
		c := nth(a, n, func(c *checker.Answered) bool {
			return len(c.Fouls) > 0 && c.Fouls[len(c.Fouls)-1].To < s.Turn.To*180/math.Pi-0.02
		})
		if c == nil {
			return false
		}
		c.Fouls[len(c.Fouls)-1].To += 0.01
		return true
	},
	"a stretch is left out": func(s *checker.Sketch, a *checker.Answer, n int) bool {
		c := nth(a, n, func(c *checker.Answered) bool { return len(c.Fouls) > 1 && c.Fouls[0].To-c.Fouls[0].From > 0.01 })
		if c == nil {
			return false
		}
		c.Fouls = c.Fouls[1:]
		return true
	},
	"the worst is elsewhere": func(s *checker.Sketch, a *checker.Answer, n int) bool {
		c := nth(a, n, func(c *checker.Answered) bool {
			return c.Kind == "clear" && c.Least != nil && *c.Least > 0 && s.Turn != nil && !s.Idle
		})
		if c == nil {
			return false
		}
		turn := c.At[s.Turn.Name] + 5
		if turn*math.Pi/180 > s.Turn.To {
			turn -= 10
		}
		c.At[s.Turn.Name] = turn
		return true
	},
	"a check is not answered": func(_ *checker.Sketch, a *checker.Answer, n int) bool {
		if n >= len(a.Checks) {
			return false
		}
		a.Checks = slices.Delete(a.Checks, n, n+1)
		return true
	},
	"a measure is out": func(s *checker.Sketch, a *checker.Answer, n int) bool {
		if n >= len(a.Measures) {
			return false
		}
		*a.Measures[n].Least += 0.01 * s.Size()
		return true
	},
	"said not to be assembled": func(_ *checker.Sketch, a *checker.Answer, n int) bool {
		a.Assembled = false
		return n == 0
	},
}

// nth is the n-th proved answer that a rule takes, nil if there are fewer.
func nth(a *checker.Answer, n int, takes func(c *checker.Answered) bool) *checker.Answered {
	for i := range a.Checks {
		c := &a.Checks[i]
		if c.Sure != "proved" || len(c.Unproved) > 0 || !takes(c) {
			continue
		}
		if n--; n < 0 {
			return c
		}
	}
	return nil
}

func every(*checker.Answered) bool { return true }
