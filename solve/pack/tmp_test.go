package pack
import ("testing";"time";"context")
func TestTmp(t *testing.T){
 for _, c := range published {
  t0:=time.Now()
  r,_ := Solve(context.Background(), Problem{c.x,c.y,c.l,c.w}, Options{})
  t.Log(c.x,c.y,c.l,c.w,r.Count,c.optimum,r.Bound,r.Status,time.Since(t0))
 }
}
