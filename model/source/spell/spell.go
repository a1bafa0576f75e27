// Package spell finds the known word that a mistyped one was meant to be.
package spell

import "strings"

// longest bounds the work: no key, unit or id of ours is longer, and nothing near it is.
const longest = 64

// Nearest returns the known word nearest to word, and whether one is near enough to be
// worth offering. Distance counts inserted, dropped, changed and swapped neighbouring
// letters (optimal string alignment; Damerau 1964, Levenshtein 1966), without regard to
// case. One slip is allowed in up to 4 letters, two in up to 8, three beyond; a word of
// three letters or more that begins a single known word also counts as near. Among
// equals one with the same first letter wins, then one of the same length, then the
// earlier in known.
func Nearest(word string, known []string) (string, bool) {
	w := []rune(strings.ToLower(word))
	if len(w) == 0 || len(w) > longest {
		return "", false
	}
	allowed := slips(len(w))
	best, bestScore := "", 4*(allowed+1)
	for _, k := range known {
		r := []rune(strings.ToLower(k))
		if len(r) == 0 || len(r) > longest {
			continue
		}
		d := distance(w, r)
		if d > allowed || d >= max(len(w), len(r)) {
			continue
		}
		score := 4 * d
		if r[0] != w[0] {
			score += 2
		}
		if len(r) != len(w) {
			score++
		}
		if score < bestScore {
			best, bestScore = k, score
		}
	}
	if best != "" {
		return best, true
	}
	return begins(string(w), known)
}

func slips(letters int) int {
	switch {
	case letters <= 4:
		return 1
	case letters <= 8:
		return 2
	}
	return 3
}

// begins returns the only known word that starts with word.
func begins(word string, known []string) (string, bool) {
	if len(word) < 3 {
		return "", false
	}
	found := ""
	for _, k := range known {
		if !strings.HasPrefix(strings.ToLower(k), word) {
			continue
		}
		if found != "" {
			return "", false
		}
		found = k
	}
	return found, found != ""
}

// distance is the optimal string alignment distance, three rows at a time.
func distance(a, b []rune) int {
	before, last, row := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row[0] = i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last, row = last, row, before
	}
	return last[len(b)]
}
