package main

import (
	"bytes"
	"context"
	"errors"
	"flag"
	"fmt"
	"image"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"

	"barover/render/terminal"
)

var update = flag.Bool("update", false, "write what came out into the files that say what should")

// TestMain makes two programs that scripts may start: busy, which is told to stop as barover is and does not look up from its
// work, and barover itself.
func TestMain(m *testing.M) {
	if strings.TrimSuffix(filepath.Base(os.Args[0]), ".exe") == "barover" {
		main()
	}
	testscript.Main(testRun{m}, map[string]func(){"busy": busy})
}

// besideBusy puts this program, as barover, beside busy. Were barover one of the programs that testscript knows, no command of a
// script could have its name.
func besideBusy() error {
	busy, err := exec.LookPath("busy")
	if err != nil {
		return err
	}
	return os.Link(busy, filepath.Join(filepath.Dir(busy), "barover"+filepath.Ext(busy)))
}

func busy() {
	ctx, _ := interruptible()
	fmt.Println("begun")
	<-ctx.Done()
	fmt.Println("told to stop")
	time.Sleep(2 * patient)
	fmt.Println("done")
}

// TestScripts runs testdata/script/*.txtar, one behaviour each. Beside the commands that every script knows there are
//
//	barover ARGUMENT…      a command line, run in this process; with exec in front, in one of its own
//	until FILE REGEXP      wait until the file is there and matches; a drawing may be there before the line that tells of it
//	becomes FILE OTHER     wait until the file is there and is as the other
//	grey FILE SHADE        write a small picture, PNG, of a shade of grey from 0 to 255
//	saves N FILE DRAWING…  save FILE N times in quick succession, the way that several editors do, with every {n} in it
//	                       made the number of the save, while no DRAWING may ever be missing or torn
//
// the condition [namespaces], that this is Linux and a process may have limits of its own, and $EXAMPLES, the folder of the
// examples.
func TestScripts(t *testing.T) {
	examples, err := filepath.Abs("../../examples")
	if err != nil {
		t.Fatal(err)
	}
	scripts, err := filepath.Abs("testdata/script") // commands go into other folders
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir:                 scripts,
		UpdateScripts:       *update,
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Setup: func(e *testscript.Env) error {
			e.Setenv("EXAMPLES", examples)
			e.Setenv("NO_COLOR", "1")
			return nil
		},
		Condition: func(cond string) (bool, error) {
			if cond != "namespaces" {
				return false, fmt.Errorf("there is no condition %s", cond)
			}
			return exec.Command("unshare", "-Ur", "sh", "-c", "echo 9 >/proc/sys/user/max_inotify_watches").Run() == nil, nil
		},
		Cmds: map[string]func(ts *testscript.TestScript, neg bool, args []string){"barover": commandLine, "until": until, "becomes": becomes, "grey": grey, "saves": saves},
	})
}

// inTurn is held by the script whose folder this process is in.
var inTurn sync.Mutex

// commandLine carries out one command line. Starting a process takes longer than most of what scripts ask.
func commandLine(ts *testscript.TestScript, neg bool, args []string) {
	inTurn.Lock()
	defer inTurn.Unlock()
	home, err := os.Getwd()
	ts.Check(err)
	ts.Check(os.Chdir(ts.MkAbs(".")))
	defer func() { ts.Check(os.Chdir(home)) }()
	status := run(context.Background(), args, &console{out: &terminal.Outlet{W: ts.Stdout()}, err: &terminal.Outlet{W: ts.Stderr()}})
	if (status != 0) != neg {
		ts.Fatalf("exit status %d", status)
	}
}

// patient is how long a script waits for what must come. A condition ends the wait; this only ends a failure.
const patient = 30 * time.Second

// until waits until a file matches.
func until(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("until FILE REGEXP")
	}
	want, err := regexp.Compile("(?s)" + args[1])
	ts.Check(err)
	waitFor(ts, args[0], args[1], want.Match)
}

// becomes waits until a file is as another.
func becomes(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("becomes FILE OTHER")
	}
	want := ts.ReadFile(args[1])
	waitFor(ts, args[0], args[1], func(b []byte) bool { return string(b) == want })
}

// waitFor waits until what is in a file is as it is wanted.
func waitFor(ts *testscript.TestScript, file, what string, wanted func([]byte) bool) {
	var b []byte
	var err error
	for end := time.Now().Add(patient); time.Now().Before(end); time.Sleep(5 * time.Millisecond) {
		if b, err = os.ReadFile(ts.MkAbs(file)); err == nil && wanted(b) {
			return
		}
	}
	ts.Fatalf("%s does not come to match %s: %v, %d bytes: %.2000s", file, what, err, len(b), b)
}

// grey writes a picture of one shade.
func grey(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("grey FILE SHADE")
	}
	shade, err := strconv.ParseUint(args[1], 10, 8)
	ts.Check(err)
	m := image.NewGray(image.Rect(0, 0, 30, 20))
	for i := range m.Pix {
		m.Pix[i] = uint8(shade)
	}
	var b bytes.Buffer
	ts.Check(png.Encode(&b, m))
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), b.Bytes(), 0o644))
}

// saves saves a file again and again while somebody looks at its drawings all the time.
func saves(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 3 {
		ts.Fatalf("saves N FILE DRAWING…")
	}
	n, err := strconv.Atoi(args[0])
	ts.Check(err)
	file := ts.MkAbs(args[1])
	text := ts.ReadFile(args[1])
	stop, torn := make(chan struct{}), make(chan error, 1)
	go func() { torn <- lookAt(ts, args[2:], stop) }()
	for i := 1; i <= n; i++ {
		ts.Check(saveLike(editors[i%len(editors)], file, strings.ReplaceAll(text, "{n}", strconv.Itoa(i))))
	}
	close(stop)
	ts.Check(<-torn)
}

// lookAt reads drawings over and over until it is told to stop, and reports one that is missing or torn.
func lookAt(ts *testscript.TestScript, drawings []string, stop <-chan struct{}) error {
	for looks := 0; ; looks++ {
		for _, d := range drawings {
			b, err := os.ReadFile(ts.MkAbs(d))
			if err != nil {
				return err
			}
			if end := map[string]string{".svg": "</svg>", ".pdf": "%%EOF"}[filepath.Ext(d)]; !strings.HasSuffix(strings.TrimSpace(string(b)), end) {
				return fmt.Errorf("%s is torn: it has %d bytes and does not end in %s", d, len(b), end)
			}
		}
		select {
		case <-stop:
			if looks > 0 {
				return nil
			}
		default:
		}
	}
}

// editors are the ways in which editors save.
var editors = []string{"truncate", "replace", "away and back", "pieces", "beside and over"}

// saveLike writes a file in one of the ways of editors.
func saveLike(editor, file, text string) error {
	switch editor {
	case "truncate":
		return os.WriteFile(file, []byte(text), 0o644)
	case "replace": // remove it, and make it again
		return errors.Join(os.Remove(file), os.WriteFile(file, []byte(text), 0o644))
	case "away and back": // keep the old one under another name
		return errors.Join(os.Rename(file, file+"~"), os.WriteFile(file, []byte(text), 0o644), os.Remove(file+"~"))
	case "pieces":
		f, err := os.Create(file)
		for half := len(text) / 2; err == nil && len(text) > 0; half = len(text) {
			_, err = f.WriteString(text[:half])
			text = text[half:]
		}
		return errors.Join(err, f.Close())
	}
	return errors.Join(os.WriteFile(file+".new", []byte(text), 0o644), os.Rename(file+".new", file))
}
