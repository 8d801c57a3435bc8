"""A YAML language server, as editors run it, with our schema: marks, explanations and completion of keys.

YAML_LANGUAGE_SERVER names the script bin/yaml-language-server out of the npm package of that name; DEVELOPERS.md says
how to come by it. It is asked over its standard streams, by the Language Server Protocol 3.17.
"""

import json
import os
import queue
import subprocess
import threading
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, Self

import pytest

SERVER = os.environ.get("YAML_LANGUAGE_SERVER", "")
EXAMPLES = Path(__file__).parents[2] / "examples"
EVERY_KEY = Path(__file__).parents[1] / "data" / "every-key.yaml"
MODELINE = "# yaml-language-server: $schema=plan.schema.json\n"
PATIENCE = 60

pytestmark = pytest.mark.skipif(not SERVER, reason="YAML_LANGUAGE_SERVER names no server")

Main = Callable[..., tuple[int, str, str]]
Message = dict[str, Any]


class Editor:
    """The least of an editor: it opens files and asks about them."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        words = ("node", SERVER, "--stdio")
        self.server = subprocess.Popen(words, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL)
        self.said: queue.Queue[Message] = queue.Queue()
        self.asked = 0
        self.reader = threading.Thread(target=self._listen)
        self.reader.start()
        self.ask("initialize", processId=None, rootUri=folder.as_uri(), capabilities={})
        self._say(method="initialized", params={})

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.server.kill()
        self.server.wait()
        self.reader.join()
        for stream in (self.server.stdin, self.server.stdout):
            assert stream
            stream.close()

    def open(self, name: str, text: str) -> list[Message]:
        """Open a file of this text; what the server marks in it."""
        file = self.folder / name
        file.write_text(text, encoding="utf-8")
        uri = file.as_uri()
        document = {"uri": uri, "languageId": "yaml", "version": 1, "text": text}
        self._say(method="textDocument/didOpen", params={"textDocument": document})
        told = self._hear(lambda said: said.get("params", {}).get("uri") == uri and "diagnostics" in said["params"])
        marks: list[Message] = told["params"]["diagnostics"]
        return marks

    def at(self, request: str, name: str, text: str, spot: str) -> Any:  # noqa: ANN401 - what the server answers
        """Ask about the end of the first `spot` in the text of an open file."""
        before = text[: text.index(spot) + len(spot)]
        position = {"line": before.count("\n"), "character": len(before) - before.rfind("\n") - 1}
        uri = (self.folder / name).as_uri()
        return self.ask(f"textDocument/{request}", textDocument={"uri": uri}, position=position)

    def ask(self, method: str, **params: object) -> Any:  # noqa: ANN401 - what the server answers
        self.asked += 1
        self._say(id=self.asked, method=method, params=params)
        return self._hear(lambda said: said.get("id") == self.asked and "method" not in said)["result"]

    def _say(self, **message: object) -> None:
        raw = json.dumps({"jsonrpc": "2.0", **message}).encode()
        assert self.server.stdin
        self.server.stdin.write(b"Content-Length: %d\r\n\r\n%s" % (len(raw), raw))
        self.server.stdin.flush()

    def _listen(self) -> None:
        stream = self.server.stdout
        assert stream
        while head := stream.readline():
            length = int(head.removeprefix(b"Content-Length: "))
            assert stream.readline() == b"\r\n"
            self.said.put(json.loads(stream.read(length)))

    def _hear(self, wanted: Callable[[Message], bool]) -> Message:
        while True:
            said = self.said.get(timeout=PATIENCE)
            if wanted(said):
                return said
            if "id" in said and "method" in said:  # it asks for settings: this editor has none
                self._say(id=said["id"], result=[None for _ in said["params"].get("items", [])])


@pytest.fixture(scope="module")
def editor(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Editor]:
    folder = tmp_path_factory.mktemp("plans")
    with Editor(folder) as editor:
        yield editor


@pytest.fixture(autouse=True)
def schema(editor: Editor, main: Main) -> None:
    (editor.folder / "plan.schema.json").write_text(main("schema")[1], encoding="utf-8")


@pytest.mark.parametrize("plan", [*sorted(EXAMPLES.rglob("*.plan.yaml")), EVERY_KEY], ids=lambda plan: plan.name)
def test_nothing_is_marked_in_a_plan_that_can_be_read(editor: Editor, plan: Path) -> None:
    assert editor.open(plan.name, MODELINE + plan.read_text(encoding="utf-8")) == []


def test_nothing_is_marked_in_the_first_plan(editor: Editor, plan: Path) -> None:
    assert editor.open("first.yaml", MODELINE + plan.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize(
    ("right", "wrong", "said"),
    [
        ("outline: closed", "outlien: closed", "outlien"),
        ("kind: socket, at: 0.45 m", "kind: sockte, at: 0.45 m", '"socket"'),
        ("height: 2.50 m", "height: 2.50", '"string"'),
    ],
)
def test_what_a_plan_does_not_know_is_marked_where_it_stands(
    editor: Editor, plan: Path, right: str, wrong: str, said: str
) -> None:
    text = MODELINE + plan.read_text(encoding="utf-8")
    assert right in text
    marks = editor.open(f"{plan.parent.name}.yaml", text.replace(right, wrong, 1))
    assert {mark["range"]["start"]["line"] for mark in marks} == {text[: text.index(right)].count("\n")}
    assert any(said in mark["message"] for mark in marks)


def test_a_key_is_explained_in_our_words(editor: Editor, plan: Path) -> None:
    text = MODELINE + plan.read_text(encoding="utf-8")
    editor.open("hover.yaml", text)
    for spot, said in (
        ("section", "The cross-section of the conductors."),
        ("hole_saws", "The diameters of the hole saws at hand."),
    ):
        assert said in json.dumps(editor.at("hover", "hover.yaml", text, spot))


def test_keys_and_words_are_offered(editor: Editor) -> None:
    text = (MODELINE + (EXAMPLES / "smallest.plan.yaml").read_text(encoding="utf-8")).replace(
        "        points:\n", "        \n        points:\n"
    )

    def offered(name: str, text: str, spot: str) -> set[str]:
        editor.open(name, text)
        return {one["label"] for one in editor.at("completion", name, text, spot)["items"]}

    assert {"then", "corner", "base", "lining", "openings"} <= offered("keys.yaml", text, "length: 3.20 m\n        ")
    half = text.replace("kind: socket", "kind: ", 1)
    assert {"socket", "switch", "light"} <= offered("words.yaml", half, "S1: {kind: ")
