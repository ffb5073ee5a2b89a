// Package beam solves frames of straight beams in space: how far they move under loads, and
// what their ends, joints and contacts carry.
//
// A member is a beam of Euler and Bernoulli with 12 degrees of freedom (J. S. Przemieniecki,
// Theory of Matrix Structural Analysis, 1968, section 5.6), loaded at its ends and, evenly,
// along it. Displacements are small, material is elastic. A node without members is a stiff
// body. A joint holds two nodes, or a node and the ground, together at a point; it may turn
// about an axis. A contact pushes and never pulls: the set of those that push is iterated until
// it settles, and a frame where it does not is refused (ErrUnsettled). What can move without
// any force is a mechanism, which is found and named (MechanismError).
//
// Units are N, mm, N·mm and MPa throughout.
//
//	model.go    what a frame is made of
//	member.go   stiffness and evenly spread loads of one member
//	solve.go    assembly, the linear system, contacts
//	solution.go displacements, ends' forces, what joints and contacts carry
package beam
