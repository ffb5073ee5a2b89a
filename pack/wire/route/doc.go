// Package route finds the way of a cable from one post to another: the shortest that it finds
// round what is in the way, with room for its thickness and its bends.
//
// Between convex obstacles a shortest way bends at their edges only. So candidates for bends
// are points along the edges of the obstacles, grown by what the cable needs (nodes.go); the
// shortest way through them by A* (Hart, Nilsson & Raphael, IEEE Transactions on Systems
// Science and Cybernetics 4 (1968)) over what can see each other (search.go) is pulled tight
// (tighten.go) and its corners are rounded (bend.go). All clearances are geom's.
package route
