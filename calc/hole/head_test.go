package hole

import (
	"testing"

	"datumbook/calc/registry/registrytest"
)

// What is said first, with each mark, half filled in, and in millimetres. 3/8-16: 5/16, chamfer 2 P
// and chips 1 P .1875, point .0939; 7/8 less 1/8 of floor to the mark is .750 to the point.
func TestHeadlines(t *testing.T) {
	registrytest.Heads(t, Sheets(), []registrytest.Head{
		{"hole", "", "", "Which thread?", ""},
		{"hole", "thread=3/8-16", "", "5/16 drill. How thick?", ""},
		{"hole", "thread=3/8-16|stock=through", "", "5/16 drill. How deep?", ""},
		{"hole", "thread=3/8-16|depth=through", "", "5/16 drill. How thick?", ""},
		{"hole", "thread=3/8-16|depth=1/2", "open", "5/16 drill, .688 deep",
			"▲ floor not checked · .500 full thread · to the shoulder"},
		{"hole", "thread=3/8-16|stock=7/8|work=steel", "good", "5/16 drill, .656 deep",
			".406 full thread · .125 floor · to the shoulder"},
		{"hole", "thread=3/8-16|stock=7/8|work=steel|zero=point|depth=.4", "good", "5/16 drill, .744 deep",
			".400 full thread · .131 floor · to the point"},
		{"hole", "thread=3/8-16|stock=7/8|depth=through", "good", "5/16 drill, right through",
			"tap until the chamfer is out · 2.1 D of thread"},
		{"hole", "thread=3/8-16|stock=7/8", "careful", "5/16 drill, .656 deep",
			"▲ 1.0 D may strip · .468 full thread · .125 floor"},
		{"hole", "thread=1/2-13|stock=1.25|depth=.799", "careful", "27/64 drill, 1.029 deep",
			"▲ thin floor .094 · .798 full thread · to the shoulder"},
		{"hole", "thread=3/4-10 UNC-3B|depth=1|stock=2|work=steel", "careful", "Bore .6495, 1.401 deep",
			"▲ no drill at hand fits · 1.000 full thread · .404 floor"},
		{"hole", "thread=3/8-16|stock=7/8|depth=.6", "stop", "Comes out .006 below the plate",
			"most full thread .468 · flat-bottomed .562 · or drill .600"},
		{"hole", "thread=1/2-13|stock=1.25|depth=.75|tap=plug", "stop", "Comes out .088 below the plate",
			"most full thread .536 · flat-bottomed .663"},
		{"hole", "thread=1/2-13|stock=1.25|depth=.75|floor=.3", "stop", "Floor .143, you want .300",
			"most full thread .592 · flat-bottomed .719 · or drill .750"},
		{"hole", "thread=1/2-13|stock=1.25|depth=.88", "stop", "Floor .013: may come out behind",
			"most full thread .767 · flat-bottomed .894 · or drill .880"},
		{"hole", "thread=3/8-16|stock=.2", "stop", "No full thread left", "smaller or finer thread"},
		{"hole", "thread=1/2-13|stock=.6|depth=.5", "stop", "Comes out .257 below the plate",
			"or right through · smaller or finer thread"},
		{"hole", "thread=3/8-16|drill=21/64|stock=7/8", "stop", "21/64: hole too big by .0114",
			"take the 5/16 drill"},
		{"hole", "thread=5/8-11|depth=.75|stock=2|drill=1/4", "stop", "1/4: hole too small by .2730",
			"take the 17/32 drill"},
		{"hole", "thread=1/4-20|method=form|work=steel|depth=.4|stock=1|drill=#7", "stop",
			"#7: hole too small to form", "take the #1 drill"},
		{"hole", "thread=1/2-13|stock=1.25|depth=.75|csk=2", "stop", "Countersink takes all the thread",
			"countersink to 9/16 · or right through"},
		{"hole", "mm|thread=M12|stock=30|depth=20", "careful", "10.2 mm drill, 25.25 deep",
			"▲ thin floor 1.70 · 19.95 full thread · to the shoulder"},
		{"hole", "mm|thread=M12", "", "10.2 mm drill. How thick?", ""},
	})
}
