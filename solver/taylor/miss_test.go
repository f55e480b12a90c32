package taylor

import "fmt"

func sprintMiss(r *rig, i Slot, tau []float64, v, p, err float64) string {
	n := r.st.Tape.code[i]
	return fmt.Sprintf("slot %d op %d (%d, %d, %v) at %v: %.17g, polynomial %.17g, off by %.3g, radius %.3g, rounding %.3g",
		i, n.op, n.a, n.b, n.k, tau, v, p, v-p, r.st.Rad(i), err)
}
