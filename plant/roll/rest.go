package roll

import "github.com/flutewright/flutewright/base/quantity"

// BreakEvenRest returns the length from which a rest roll is worth keeping:
// using it again takes one more handling to its place and two splices, and
// saves what stripping it would lose,
//
//	l = (handling + 2 · splice loss · price) / loss
//
// with price what a metre of the paper costs and loss what a metre brings less
// as waste. It returns 0 where loss is not positive: then nothing is lost by
// stripping. Common practice, no published source.
func BreakEvenRest(handling quantity.Money, spliceLoss quantity.Distance, loss, price quantity.Money) quantity.Distance {
	if !(loss > 0) {
		return 0
	}
	return quantity.FromMetres((float64(handling) + 2*spliceLoss.Metres()*float64(price)) / float64(loss))
}
