package compare

import (
	"fmt"
	"strconv"
	"strings"
)

// Shard is a part of the work: rows Part−1, Part−1+Of, …
type Shard struct{ Part, Of int }

// Whole is all of the work.
var Whole = Shard{1, 1}

// MaxShards is into how many parts the work may be cut.
const MaxShards = 10_000

// Has tells whether a row is in the part.
func (s Shard) Has(row int) bool { return row%s.Of == s.Part-1 }

// String writes it as it is given.
func (s Shard) String() string { return fmt.Sprintf("%d/%d", s.Part, s.Of) }

// ParseShard reads a part such as 3/16.
func ParseShard(text string) (Shard, error) {
	part, of, ok := strings.Cut(text, "/")
	p, err1 := strconv.Atoi(part)
	n, err2 := strconv.Atoi(of)
	switch {
	case !ok || err1 != nil || err2 != nil:
		return Shard{}, fmt.Errorf("a part is written such as 3/16, the third of sixteen, not %q", text)
	case n < 1 || n > MaxShards:
		return Shard{}, fmt.Errorf("%s: the work is cut into 1 to %d parts, not %d", text, MaxShards, n)
	case p < 1 || p > n:
		return Shard{}, fmt.Errorf("%s: of %d parts the first is 1/%d and the last %d/%d; there is no part %d", text, n, n, n, n, p)
	}
	return Shard{p, n}, nil
}

// Variables that job arrays put into the environment.
const (
	slurmID, slurmCount, slurmLeast, slurmStep = "SLURM_ARRAY_TASK_ID", "SLURM_ARRAY_TASK_COUNT", "SLURM_ARRAY_TASK_MIN", "SLURM_ARRAY_TASK_STEP"
	completionIndex, completions               = "JOB_COMPLETION_INDEX", "JOB_COMPLETIONS"
)

// ShardOfJob is the part that a job of an array is to do, as its environment says, and by which
// variable; false where there is none. parts is how many parts there are where the environment does
// not tell, 0 when not given.
//
// Slurm counts tasks from SLURM_ARRAY_TASK_MIN in steps, and tells how many there are. The jobs of an
// indexed Job of Kubernetes count from 0, and are not told how many they are: parts says so, or a
// variable JOB_COMPLETIONS that the job's file sets.
func ShardOfJob(env func(string) string, parts int) (s Shard, by string, found bool, err error) {
	index, count := 0, parts
	switch {
	case env(slurmID) != "":
		by = slurmID
		index, count, err = slurmTask(env, parts)
	case env(completionIndex) != "":
		by = completionIndex
		if index, err = whole(env, completionIndex); err == nil && parts == 0 && env(completions) != "" {
			count, err = whole(env, completions)
		}
	default:
		return Whole, "", false, nil
	}
	if err != nil {
		return Shard{}, by, true, err
	}
	if count == 0 {
		return Shard{}, by, true, fmt.Errorf("%s says that this is one job of several, but not of how many: give --parts, or --shard 1/1 for all of it", by)
	}
	s, err = ParseShard(fmt.Sprintf("%d/%d", index+1, count))
	if err != nil {
		err = fmt.Errorf("%s is %s: %w", by, env(by), err)
	}
	return s, by, true, err
}

// slurmTask is the task's number from 0, and how many there are.
func slurmTask(env func(string) string, parts int) (index, count int, err error) {
	if index, err = whole(env, slurmID); err != nil {
		return 0, 0, err
	}
	least, step := 0, 1
	for name, to := range map[string]*int{slurmLeast: &least, slurmCount: &count, slurmStep: &step} {
		if env(name) == "" {
			continue
		}
		if *to, err = whole(env, name); err != nil {
			return 0, 0, err
		}
	}
	switch {
	case count == 0 && parts == 0:
		return 0, 0, nil
	case count != 0 && parts != 0 && count != parts:
		return 0, 0, fmt.Errorf("%s is %d and --parts %d: for tasks of an array that are run again give --shard, such as --shard %d/%d", slurmCount, count, parts, index, parts)
	}
	return (index - least) / max(step, 1), max(count, parts), nil
}

func whole(env func(string) string, name string) (int, error) {
	n, err := strconv.Atoi(env(name))
	if err != nil || n < 0 {
		return 0, fmt.Errorf("%s is %q, which is no number from 0", name, env(name))
	}
	return n, nil
}
