package strict

// CanShow is canShow for the tests.
var CanShow = canShow
