package browsertest

import _ "embed"

//go:embed access.js
var accessJS string

// Resize changes the page's screen, as if another device showed it.
func (b *Browser) Resize(screen Screen) {
	b.t.Helper()
	b.touch = screen.Touch
	b.Do("resize", screen.emulate())
}

// Equip puts axe-core, given as its source, and the questions of access.js into
// the page, unless it has them. A page that was loaded anew has not.
func (b *Browser) Equip(axe string) {
	b.t.Helper()
	if !Eval[bool](b, `!!window.datumbookAccess`) {
		Eval[bool](b, axe+"\n;"+accessJS)
	}
}
