"""Hours of freezing, asked of the program itself: physics is not what is compared here.

Each question is a command line of `solidby ice`, and its answer is kept in a file beside the other files of the oracles,
under the fingerprint of the program.
"""

import hashlib
import json
import os
import subprocess
from pathlib import Path


class Hours:
    """The freezing times of one program."""

    def __init__(self, program, folder):
        self.program = str(program)
        mark = hashlib.sha256(Path(program).read_bytes()).hexdigest()[:16]
        self.file = Path(folder) / f"bands-{mark}.json"
        self.known = json.loads(self.file.read_text()) if self.file.exists() else {}
        self.asked = 0

    def keep(self):
        """Adds what was asked to the file; several judges write it at once, so that it is put in place whole."""
        self.file.parent.mkdir(parents=True, exist_ok=True)
        merged = json.loads(self.file.read_text()) if self.file.exists() else {}
        merged.update(self.known)
        self.known = merged
        mine = self.file.with_suffix(f".{os.getpid()}")
        mine.write_text(json.dumps(merged, indent=0, sort_keys=True))
        os.replace(mine, self.file)

    def dough(self, words):
        """The answer of the dough command, as far as the rules need it."""
        question = " ".join(["dough", *words])
        if question not in self.known:
            run = subprocess.run([self.program, "dough", *words, "--json", "--no-diary"], capture_output=True, text=True)
            if run.returncode != 0:
                raise RuntimeError(f"solidby {question}: {run.stderr.strip()}")
            told = json.loads(run.stdout)
            self.known[question] = {key: told[key] for key in ("hard_h", "dry_h", "coats")}
        return self.known[question]

    def answer(self, words):
        """Hours to firm by chance, or None, and the grams in one mould."""
        question = " ".join(words)
        if question not in self.known:
            run = subprocess.run([self.program, "ice", *words, "--json", "--no-diary"], capture_output=True, text=True)
            if run.returncode != 0:
                raise RuntimeError(f"solidby ice {question}: {run.stderr.strip()}")
            told = json.loads(run.stdout)
            self.known[question] = {**told["ready_h"], "grams": 1000 * told["mass_kg"]}
            self.asked += 1
        return self.known[question]

    def of(self, mould, freezer, chance="p95"):
        """Grams in one of these moulds, and its hours in this freezer by how many there are."""
        words = [*shape(mould), "--wall", mould.get("wall", "plastic"), "--freezer", freezer["kind"]]
        for key in ("air", "rated"):
            words += [f"--{key}", freezer[key]] if key in freezer else []

        def hours(count):
            return self.answer([*words, "--count", str(count)])[chance]

        return self.answer([*words, "--count", "1"])["grams"], hours


def shape(mould):
    """A mould of the plan file as the words of a command line that ask the same."""
    told = mould.get("shape")
    if told is None:
        return ["--volume", mould["volume"]]
    kind, _, sizes = told.partition(" ")
    fill = ["--fill", mould["fill"]] if "fill" in mould else []
    if kind in ("box", "round", "cup"):
        return [f"--{kind}", sizes, *fill]
    return ["--mould", kind, "--size", sizes, "--depth", mould["depth"], *fill]
