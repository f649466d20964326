// Package promise answers when one release can be at its gate or dock, and what
// a day sooner would cost: it puts the release into the plan in force — on a
// partner's run or a run of its own at the cheapest legal place, and on the
// presses by insertion — and leaves all else as it stands.
//
// It is no full replan: what it finds is a legal plan, not the best one. The
// earliest time that any plan could reach stands beside it.
package promise
