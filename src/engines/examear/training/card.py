"""The model card, written out of the report."""

PARTS = {"tts": "trained on", "train": "trained on", "held": "kept apart", "dev": "kept apart"}
BEHIND = 0.03  # share by which a group is told of as behind


def table(head: list[str], rows: list[list]) -> str:
    lines = [head, ["---"] * len(head), *rows]
    return "\n".join("| " + " | ".join(str(cell) for cell in line) + " |" for line in lines)


def percent(share: float) -> str:
    return f"{100 * share:.1f} %"


def groups(rows: list[dict], higher_is_better: bool) -> str:
    """A table by group, and which groups are behind the best of their kind."""
    told = table(
        ["by", "group", "people", "clips", "clean", "in rooms and noise"],
        [[r["kind"], r["group"], r["people"], r["clips"], percent(r["clean"]), percent(r["noisy"])] for r in rows],
    )
    behind, alone = [], []
    for kind in ("corpus", "sex", "accent"):
        mine = [r for r in rows if r["kind"] == kind]
        if len(mine) < 2:
            alone.append(kind)
        for sound, name in (("clean", "clean"), ("noisy", "in rooms and noise")):
            shares = [r[sound] for r in mine]
            for r in mine:
                gap = max(shares) - r[sound] if higher_is_better else r[sound] - min(shares)
                if gap > BEHIND:
                    behind.append(f"{r['group']} ({kind}), {name}: by {100 * gap:.1f} points")
    told += "\n\nMore than three points behind the best of its kind: " + ("; ".join(behind) or "none") + "."
    if alone:
        told += f" Not to be compared, fewer than two groups being known: {', '.join(alone)}."
    return told


def card(report: dict) -> str:
    weights, data = report["weights"], report["data"]
    out = [
        "# Model card of the exam ear",
        f"- **Weights** `{weights['file']}`, {weights['bytes']:,} bytes, {weights['numbers']:,} numbers, SHA-256\n  `{weights['sha256']}`.",
        "- **From** the speech embedding of Lin, Kilgour, Roblek and Sharifi (2020, arXiv 2002.01322), Apache-2.0,\n"
        f"  `embedding_model.onnx` with SHA-256 `{report['embedding']}`, trained on further.",
    ]
    if "steps" in report:
        out.append(f"- **Trained** for {report['steps']:,} steps of {report['options']['batch'] * report['processes']} items on {report['on']}, {report['seconds']:,} s.")
    else:
        out.append(f"- **Judged** on {report['on']}; not trained by this run.")
    out += [
        "- **Not heard or not known**: children; words outside the grammar and its dictionary; sex and accent of all whose "
        "corpus does not\n  tell (they are in no row below); other languages' accents, but for what the rows below say.",
        "",
        "## Data",
        table(
            ["what", "from", "licence", "", "people or voices", "clips", "minutes"],
            [[r["what"], r["from"], r["licence"], PARTS[r["part"]], r["people"], f"{r['clips']:,}", f"{r['minutes']:,}"] for r in data],
        ),
        "",
        "`talk` is heard behind others only. `reading` is what another recogniser heard surely in `talk`, `doubtful` what it heard less "
        "surely, of\nwhich only what the network bears out is trained on. Whoever is kept apart was trained on in nothing.",
    ]
    if "words told apart" in report:
        measures = [[key, percent(value)] for key, value in report.items() if key.startswith("phones wrong")]
        for name in ("words told apart", "words told apart, in rooms and noise"):
            measures += [[f"{name}: {of}", percent(value["right"])] for of, value in report[name].items()]
        out += ["", "## On people kept apart", table(["measure", "share"], measures)]
        out += ["", "### Single words told from all others in these corpora", groups(report["words right, by who said them"], True)]
        out += ["", "### Digits alone, which all of them hold", groups(report["digits right, by who said them"], True)]
        out += ["", "### Phones of reading wrong", groups(report["phones of reading wrong, by who read"], False)]
    return "\n".join(out) + "\n"
