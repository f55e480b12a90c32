package source

import "path/filepath"

// Beside is the path of a file that is named in another one: relative to that one.
func Beside(user, name string) string {
	name = filepath.FromSlash(name)
	if filepath.IsAbs(name) {
		return name
	}
	return filepath.Join(filepath.Dir(user), name)
}
