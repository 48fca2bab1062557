package thread_test

import (
	"fmt"

	"datumbook/calc/thread"
)

// The limits of 5/8-11 UNC as ASME B1.1 prints them.
func ExampleThread_Limits() {
	t, _ := thread.Parse("5/8-11")
	hole, _ := t.InternalLimits()
	stud, _ := t.ExternalLimits()
	fmt.Println(t)
	fmt.Printf("%s minor %.3f to %.3f, pitch %.4f to %.4f\n", hole.Class, hole.Minor.Min, hole.Minor.Max, hole.Pitch.Min, hole.Pitch.Max)
	fmt.Printf("%s major %.4f to %.4f, pitch %.4f to %.4f\n", stud.Class, stud.Major.Min, stud.Major.Max, stud.Pitch.Min, stud.Pitch.Max)
	// Output:
	// 5/8-11 UNC
	// 2B minor 0.527 to 0.546, pitch 0.5660 to 0.5732
	// 2A major 0.6113 to 0.6234, pitch 0.5589 to 0.5644
}

func ExampleParse_refused() {
	_, err := thread.Parse("5/8-13 UNC")
	fmt.Println(err)
	_, err = thread.Parse("1/4 NPT")
	fmt.Println(err)
	// Output:
	// 5/8-13 is in no standard series; with that diameter it lists 11, 18, 24, 12, 16, 20, 28 and 32 threads per inch; as a special it is UNS
	// NPT is a taper pipe thread; only straight Unified and ISO metric threads are covered
}
