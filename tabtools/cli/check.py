"""``tabtools check``: what the rules find, and its repair."""

from __future__ import annotations

import errno
import os
from collections.abc import Callable, Sequence

import click

from tabtools.cli import DONE, USAGE
from tabtools.cli.files import MAX_MEGABYTES, SUFFIXES, Input, below, discover, refuse_inputs, write_atomic
from tabtools.cli.load import Checked
from tabtools.cli.output import complain, complain_of, say, say_bytes
from tabtools.cli.plugins import all_rules
from tabtools.cli.reporting import FORMATS, Output, exit_code, outputs, write_outputs
from tabtools.cli.run import Caches, Mode, plans, run
from tabtools.cli.settings import Choice, Settings
from tabtools.lint.finding import FileFindings, Severity
from tabtools.source import UnreadableError

SEVERITIES = [severity.word for severity in sorted(Severity, reverse=True)]


def _outputs(context: click.Context, option: click.Parameter, values: tuple[str, ...]) -> list[Output]:
    return outputs(values)


@click.command("check", short_help="Report what is wrong, each fault at its line and column, and repair it.")
@click.argument("paths", metavar="PATH...", nargs=-1, type=click.Path(allow_dash=True))
@click.option(
    "--report",
    "outs",
    metavar="FORMAT[:FILE]",
    multiple=True,
    callback=_outputs,
    help=f"How to report, and where to: {', '.join(FORMATS)}; may be given several times.  [default: text]",
)
@click.option(
    "--fail-from",
    type=click.Choice(SEVERITIES),
    default="warning",
    show_default=True,
    help="The least severity that makes the exit code 1.",
)
@click.option("--repair", is_flag=True, help="Make the repairs that can't change what is played.")
@click.option(
    "--repair-guesses", is_flag=True, help="Make the repairs that are guesses too; look at the result."
)
@click.option("--preview", is_flag=True, help="Change nothing; print what the repairs would change.")
@click.option("--accepted", metavar="FILE", help="Leave out the findings that this file accepts.")
@click.option("--accept-into", metavar="FILE", help="Accept everything that is found now, in this file.")
@click.option("--since", metavar="REV", help="Only files that git knows to have changed since a revision.")
@click.option("--input-name", metavar="NAME", help="What standard input is called, and configured as.")
@click.option(
    "--show",
    type=click.Choice(SEVERITIES),
    default="warning",
    show_default=True,
    help="The least severity that is listed; what is below is counted.",
)
@click.option("--only", metavar="RULE", multiple=True, help="Run this rule or group of rules alone.")
@click.option("--without", metavar="RULE", multiple=True, help="Leave this rule or group of rules out.")
@click.option("--count", is_flag=True, help="Only count the findings of each rule.")
@click.option("--settings-of", metavar="FILE", help="Print the settings that hold for a file.")
@click.option("--watch", is_flag=True, help="Check again whenever a file changes, until interrupted.")
@click.option(
    "--jobs", metavar="N", type=click.IntRange(0), default=0, help="Processes; 0 for as many as pay."
)
@click.option("--forget", is_flag=True, help="Forget what was found in the same contents before.")
@click.option(
    "--memory-dir", metavar="DIR", help="Where to remember it.  [default: the user's cache directory]"
)
@MAX_MEGABYTES
def command(paths: tuple[str, ...], settings_of: str | None, watch: bool, **options: object) -> int:
    """Report what is wrong in text tab and MusicXML files, each fault at its line and column.

    PATH is a file, a directory (its .txt, .tab, .musicxml and .mxl files and every .xml file that holds a
    score; hidden ones and those that .gitignore names are left out) or - for standard input. A file that
    can't be read as tab or MusicXML is a finding too. Nothing is changed without --repair or
    --repair-guesses.

    Settings come from the nearest tabtools.toml, or the table tool.tabtools of pyproject.toml.
    """
    if settings_of is not None:
        return _show_settings(settings_of)
    if not paths:
        raise click.UsageError("Missing argument 'PATH...'.")
    check = _Check(paths, **options)  # type: ignore[arg-type]
    if watch:
        from tabtools.cli.watch import watching

        return watching(check.once, check.files)
    return check.once()


def _show_settings(file: str) -> int:
    from tabtools.cli.settings import shown

    settings = Settings(all_rules())
    say(shown(*settings.table(file), settings.of(file)))
    return DONE


class _Check:
    """A check as the command line asks for it, to be made once or again and again."""

    def __init__(
        self,
        paths: Sequence[str],
        *,
        outs: list[Output],
        fail_from: str,
        repair: bool,
        repair_guesses: bool,
        preview: bool,
        accepted: str | None,
        accept_into: str | None,
        since: str | None,
        input_name: str | None,
        show: str,
        only: tuple[str, ...],
        without: tuple[str, ...],
        count: bool,
        jobs: int,
        forget: bool,
        memory_dir: str | None,
        limit: int,
    ) -> None:
        self.paths, self.outs, self.fail_from = paths, outs, Severity[fail_from.upper()]
        kind = "unsafe" if repair_guesses else "safe" if repair or preview else None
        self.mode, self.cache = Mode(kind, jobs), _cache_directory(forget, memory_dir)
        self.preview, self.count, self.stdin_name = preview, count, input_name
        self.least = min(Severity[show.upper()], self.fail_from)  # what fails is listed
        self.choice = Choice(only, without)
        self.accepted, self.accept_into, self.since = accepted, accept_into, since
        self.rules, self.limit = all_rules(), limit
        self.trouble = DONE  # the exit code that files ask for that could not be written

    def files(self) -> list[str]:
        """The files that are checked now, and those that configure it."""
        settings = Settings(self.rules, self.limit, self.choice)
        paths = [entry.path for entry in self._entries(settings) if entry.path]
        for path in paths:
            settings.config(path)
        return [*paths, *sorted(settings.files)]

    def once(self) -> int:
        """Check, repair, report; the exit code."""
        settings = Settings(self.rules, self.limit, self.choice)
        entries = self._entries(settings)
        if not entries:
            complain(f"tabtools: no files to check: none ends in {', '.join(SUFFIXES)}")
            if self.since is None:
                return USAGE
        _spare_inputs(self.outs, self.accept_into, entries)
        caches = Caches(self.cache, len(entries))
        results = run(entries, settings, self.mode, caches)
        to_stderr = self._write(entries, results)
        files = [checked.file for checked in results]
        if len(files) > 1:
            from tabtools.lint.engine import compare

            files = compare(files, plans(settings, entries))
        code = max(self._report(files, to_stderr=to_stderr), self.trouble)
        caches.save()  # last, so that nobody waits for it
        return code

    def _report(self, files: list[FileFindings], *, to_stderr: bool) -> int:
        if self.accept_into:
            return self._accept(files)
        if self.accepted:
            files = self._fresh(files)
        write_outputs(self.outs, files, self.rules, count=self.count, least=self.least, to_stderr=to_stderr)
        return exit_code(files, self.fail_from)

    def _entries(self, settings: Settings) -> list[Input]:
        entries = discover(
            self.paths, excluded=settings.excluded, stdin_name=self.stdin_name, limit=self.limit
        )
        if self.since is None:
            return entries
        from tabtools.cli.changed import changed_since

        return changed_since(entries, self.since)

    def _write(self, entries: Sequence[Input], results: Sequence[Checked]) -> bool:
        """Write what was repaired, or show it; whether standard output is taken by it."""
        if self.preview:
            from tabtools.cli.output import diff

            say("".join(line for r in results if r.text and r.before for line in diff(r.before, r.text)))
            return True
        taken = False
        for entry, result in zip(entries, results, strict=True):
            if entry.path is None and self.mode.fix:
                _write_stdin(result)
                taken = True
            elif entry.path and result.text is not None and result.before is not None:
                try:
                    _write_file(entry.path, result)
                except OSError as error:  # the other files are repaired all the same
                    complain_of(error)
                    self.trouble = USAGE
                    continue
                complain(f"{entry.name}: repaired: {_counted(result.repaired)}")
        return taken

    def _accept(self, files: Sequence[FileFindings]) -> int:
        import json

        from tabtools.lint.accepted import made
        from tabtools.report.terminal import plural

        path = str(self.accept_into)
        whole = made(files, _path_of(path))
        write_atomic(path, (json.dumps(whole, indent=1, ensure_ascii=False) + "\n").encode("utf-8"))
        number = sum(sum(counts.values()) for counts in whole["files"].values())
        accepted = f"{plural(number, 'finding')} in {plural(len(whole['files']), 'file')}"
        say(f"{path} accepts {accepted} from now on\n")
        return DONE

    def _fresh(self, files: Sequence[FileFindings]) -> list[FileFindings]:
        import json

        from tabtools.lint.accepted import known, new
        from tabtools.report.terminal import plural

        path = str(self.accepted)
        try:
            with open(path, "rb") as file:
                accepted = known(json.load(file))
        except RecursionError:
            raise click.UsageError(
                f"{path}: it is nested too deeply to be a list of accepted findings."
            ) from None
        except ValueError as error:
            raise click.UsageError(f"{path}: {error}.") from None
        fresh, gone = new(files, accepted, _path_of(path))
        if gone:
            said = f"{path} accepts {plural(gone, 'finding')} no longer there"
            complain(f"{said}: write it anew with --accept-into")
        return fresh


def _cache_directory(forget: bool, memory_dir: str | None) -> str | None:
    if forget:
        return None
    if memory_dir:
        from tabtools.cli.cache import holds_other_files

        if holds_other_files(memory_dir):
            raise click.UsageError(f"--memory-dir: {memory_dir} holds other files: name an empty directory.")
        return memory_dir
    base = os.environ.get("XDG_CACHE_HOME")  # as the XDG base directory specification says
    return os.path.join(base or os.path.expanduser("~/.cache"), "tabtools")


def _path_of(accepted: str) -> Callable[[str], str]:
    """The path of a file as a list of accepted findings has it: from the directory of that list."""
    base = os.path.dirname(os.path.abspath(accepted))

    def path_of(name: str) -> str:
        path = os.path.abspath(name)
        return below(path, base) or path.replace(os.sep, "/")

    return path_of


def _spare_inputs(outs: Sequence[Output], accepted: str | None, entries: Sequence[Input]) -> None:
    """Raises UsageError for a report or a list of accepted findings that would take the place of an input,
    and for such a list that would take the place of anything else."""
    refuse_inputs([file for _, file in outs if file] + ([accepted] if accepted else []), entries)
    if accepted and os.path.exists(accepted):
        from tabtools.lint.accepted import FORMAT

        with open(accepted, "rb") as file:
            head = file.read(1000)
        if head and FORMAT.encode() not in head:
            raise click.UsageError(
                f"--accept-into: {accepted} is no list of accepted findings: name another file."
            )


def _write_file(path: str, checked: Checked) -> None:
    """Write a repaired text; MusicXML that came in a package goes back into it.

    Raises OSError for a file that was changed after it was read, for somebody else's work must not get lost,
    and for a package that can't be packed again.
    """
    assert checked.before is not None
    assert checked.text is not None
    assert checked.data is not None
    data = checked.before.encode(checked.text)
    if checked.data.startswith(b"PK"):
        from tabtools.musicxml.package import repack

        try:
            data = repack(checked.data, data)
        except UnreadableError as error:
            raise OSError(errno.EINVAL, f"it was not repaired: {error.reason}", path) from None
    write_atomic(path, data, before=checked.data)


def _write_stdin(result: Checked) -> None:
    source = result.before or result.file.source
    say_bytes(source.encode(source.text if result.text is None else result.text))


def _counted(rules: Sequence[str]) -> str:
    return ", ".join(f"{rule} {rules.count(rule)}" for rule in sorted(set(rules)))
