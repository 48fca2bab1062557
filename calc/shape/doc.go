// Package shape says where things are: the faces of a fixture with the places on them, the faces of
// a part, the room of a machine, and how they stand together in a setup. It is the one description
// that drawings, the search for a fixture, the look for what fouls and the judgement of what holds
// take their numbers from. Lengths are exact; of what nobody wrote down nothing is assumed.
package shape
