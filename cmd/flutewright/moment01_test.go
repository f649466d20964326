package main

func init() {
	moments = append(moments, moment{"01 what breaks today", demoHour(0, 6, 0), func(w *walk) {
		w.open("/")
		w.says("main", "TL140 at 2350 mm", "R0076")
		w.sideways("/")
	}})
}
