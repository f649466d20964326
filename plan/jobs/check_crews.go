package jobs

import (
	"fmt"
	"math"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plant/convert"
)

// counted says whether a shift's crews are counted.
func (j judge) counted(shift string) bool {
	for _, c := range j.p.Crews {
		if c.Shift == shift {
			return true
		}
	}
	return false
}

func (j judge) machine(code ident.Machine) (convert.Machine, bool) {
	i := slices.IndexFunc(j.p.Machines, func(m convert.Machine) bool { return m.Code == code })
	if c := j.p.Corrugator; i < 0 && code == c.Code {
		return convert.Machine{Code: c.Code, Shifts: c.Shifts}, true
	}
	if i < 0 {
		return convert.Machine{}, false
	}
	return j.p.Machines[i], true
}

// crews checks each stretch of manning against its shift, and at each moment at
// which one begins the machines manned against the crews: any set of them must
// find as many crews that can run one of the set (Hall's condition).
func (j judge) crews() error {
	for _, m := range j.a.Manning {
		mach, ok := j.machine(m.Machine)
		if m.Machine == j.p.Corrugator.Code && !m.Overtime {
			return fmt.Errorf("%s is manned from %v by more than its shifts", m.Machine, m.From)
		}
		if !ok || !m.Until.After(m.From) {
			return fmt.Errorf("manning of %s from %v: no such machine, or no time", m.Machine, m.From)
		}
		if m.Overtime {
			continue
		}
		if !j.counted(m.Shift) || !slices.Contains(mach.Shifts, m.Shift) || m.Cost != 0 {
			return fmt.Errorf("%s is manned by shift %q, which is not its own or is not counted", m.Machine, m.Shift)
		}
		if turn, err := j.clock.Windows(j.p.Now, []string{m.Shift}, nil); err != nil || !turn.IsManned(m.From, m.Until) {
			return fmt.Errorf("%s is manned from %v outside the turn of shift %s", m.Machine, m.From, m.Shift)
		}
	}
	for _, at := range j.a.Manning {
		if at.Overtime {
			continue
		}
		var on []ident.Machine
		for _, m := range j.a.Manning {
			if !m.Overtime && m.Shift == at.Shift && !m.From.After(at.From) && m.Until.After(at.From) {
				on = append(on, m.Machine)
			}
		}
		if err := j.enough(at.Shift, on); err != nil {
			return fmt.Errorf("at %v: %w", at.From, err)
		}
	}
	return nil
}

// enough tries Hall's condition on every set of the machines; past 20 of them only the whole.
func (j judge) enough(shift string, on []ident.Machine) error {
	sets := []int{1<<min(len(on), 62) - 1}
	if len(on) <= 20 {
		sets = nil
		for set := 1; set < 1<<len(on); set++ {
			sets = append(sets, set)
		}
	}
	for _, set := range sets {
		want, have := 0, 0
		var who []ident.Machine
		for i, m := range on {
			if set&(1<<i) != 0 {
				want++
				who = append(who, m)
			}
		}
		for _, c := range j.p.Crews {
			if c.Shift == shift && (len(c.Can) == 0 || slices.ContainsFunc(who, func(m ident.Machine) bool { return slices.Contains(c.Can, m) })) {
				have += c.Crews
			}
		}
		if want > have {
			return fmt.Errorf("shift %s mans %v at once and has %d crews for them", shift, who, have)
		}
	}
	return nil
}

// overtime checks that it adjoins a turn of the machine, keeps to the day's most, and is priced.
func (j judge) overtime() error {
	type day struct {
		machine ident.Machine
		date    string
	}
	sum, cost := map[day]time.Duration{}, 0.0
	for _, m := range j.a.Manning {
		if !m.Overtime {
			continue
		}
		mach, _ := j.machine(m.Machine)
		if !slices.Contains(mach.Shifts, m.Shift) {
			return fmt.Errorf("overtime of %s is worked by shift %q, which is none of its own", m.Machine, m.Shift)
		}
		turn, err := j.clock.Windows(j.p.Now, []string{m.Shift}, nil)
		if err != nil {
			return err
		}
		for _, o := range j.a.Manning {
			if o != m && o.Machine == m.Machine && o.From.Before(m.Until) && m.From.Before(o.Until) {
				return fmt.Errorf("%s is manned twice at %v", m.Machine, m.From)
			}
		}
		behind := turn.IsManned(m.From.Add(-time.Minute), m.From) && !turn.IsManned(m.From, m.From.Add(time.Second))
		before := turn.IsManned(m.Until, m.Until.Add(time.Minute)) && !turn.IsManned(m.Until.Add(-time.Second), m.Until)
		if !behind && !before || turn.Between(m.From, m.Until) > 0 || m.From.Before(j.p.Now) {
			return fmt.Errorf("overtime of %s from %v adjoins no turn, or lies in one", m.Machine, m.From)
		}
		d := day{m.Machine, m.From.In(j.clock.Zone()).Format(time.DateOnly)}
		if sum[d] += m.Until.Sub(m.From); sum[d] > j.p.Overtime.Most.Duration() {
			return fmt.Errorf("%s works %v of overtime on %s, at most %v", m.Machine, sum[d], d.date, j.p.Overtime.Most.Duration())
		}
		price := j.p.Overtime.PerHour
		if m.Machine == j.p.Corrugator.Code {
			if price = j.p.Overtime.Corrugator; price <= 0 {
				return fmt.Errorf("%s works over, though its crew works none", m.Machine)
			}
		}
		if want := m.Until.Sub(m.From).Hours() * float64(price); math.Abs(want-float64(m.Cost)) > 1e-6*(1+want) {
			return fmt.Errorf("overtime of %s from %v costs %.2f, stated %.2f", m.Machine, m.From, want, float64(m.Cost))
		}
		cost += float64(m.Cost)
	}
	if math.Abs(cost-float64(j.a.Overtime)) > 1e-6*(1+cost) {
		return fmt.Errorf("overtime costs %.2f, stated %.2f", cost, float64(j.a.Overtime))
	}
	return nil
}
