// Package course makes of an instructor's notebook what students get.
//
// The instructor's notebook is a worked assignment: the cell that answers a question begins with
//
//	//foreplane:question stall-speed 1 %
//
// and ends in the expected value; cells tagged "solution" help to find it. [Handout] takes a copy that has been run: solution cells go, and in place of the cell
// of a question stands one that waits for an answer and knows what is expected. What is expected is coded, not secret: this is for practice.
package course
