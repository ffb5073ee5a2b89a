// Package crew shares out work among goroutines.
package crew

import "sync"

// AtOnce calls do(0) … do(n−1) from so many workers, and returns when all are done.
func AtOnce(workers, n int, do func(int)) {
	jobs := make(chan int)
	var wg sync.WaitGroup
	for range min(n, workers) {
		wg.Go(func() {
			for k := range jobs {
				do(k)
			}
		})
	}
	for k := range n {
		jobs <- k
	}
	close(jobs)
	wg.Wait()
}
