"""Runs the protocol's conformance suite, jupyter_kernel_test, on the installed Foreplane kernel."""

import unittest

import jupyter_kernel_test


class Foreplane(jupyter_kernel_test.KernelTests):
    kernel_name = "foreplane"
    language_name = "go"
    file_extension = ".go"
    code_hello_world = 'fmt.Println("hello, world")'
    code_stderr = 'fmt.Fprintln(os.Stderr, "oops")'
    completion_samples = [
        {"text": "strings.HasPre", "matches": {"HasPrefix"}},
        {"text": "sort.Float", "matches": {"Float64Slice", "Float64s", "Float64sAreSorted"}},
    ]
    complete_code_samples = ["a := 5", "func f() int {\n\treturn 1\n}", "// only a comment"]
    incomplete_code_samples = ["for i := 0; i < 5; i++ {", "f(1,", "x := `open"]
    invalid_code_samples = ["a := := 5", "func )"]
    code_page_something = 'page("something to read")'
    code_generate_error = 'panic("on purpose")'
    code_execute_result = [{"code": "6*7", "result": "42"}, {"code": '"text"', "result": "text"}]
    code_display_data = [
        {"code": 'show(display.HTML("<b>bold</b>"))', "mime": "text/html"},
        {"code": 'show(display.SVG("<svg xmlns=\'http://www.w3.org/2000/svg\'/>"))', "mime": "image/svg+xml"},
    ]
    code_history_pattern = "6?7*"
    supported_history_operations = ("tail", "range", "search")
    code_inspect_sample = "fmt.Println"
    code_clear_output = "clearOutput(false)"


class Welcome(jupyter_kernel_test.IopubWelcomeTests):
    kernel_name = "foreplane"
    support_iopub_welcome = True


if __name__ == "__main__":
    unittest.main(verbosity=2)
