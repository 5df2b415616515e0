"""The group of commands: their names and one line each, so that `--help` loads none of them."""

from __future__ import annotations

import importlib
import os
import sys

import click

from gearplate import __version__
from gearplate.cli.say import complain, say
from gearplate.errors import GearplateError, JobError, Stopped, ToolBug

COMMANDS = {
    "new": "Write a commented starting job file.",
    "check": "Tell what a job would build, and what is wrong with it; write nothing.",
    "build": "Make both plates: cut files, pictures, record.",
    "coupon": "Make a piece to cut first: each bore in several sizes.",
    "trains": "List the gear trains that give a ratio; write one into the job.",
    "stretch": "Find the least change for another value of a job.",
    "play": "Tell how much play every mesh keeps, and why.",
    "rate": "Tell what gives way first, and by how much everything holds.",
    "explain": "Explain a finding's code, or a word.",
    "profiles": "List what a job can name: motors, bearings, ...",
    "schema": "Print the JSON Schema of the job file, for editors.",
}

BARE = """\
gearplate turns one job file into two cut-ready gearbox plates and checks them.
  gearplate new                    writes a job file to start from
  gearplate check                  tells what it would build, with every centre distance worked out
  gearplate build compost-drive    builds a finished example into out/compost-drive
  gearplate explain backlash       explains a word, or the code beside a finding (all commands: --help)"""

MOST_TOLD = 200
EXIT_NO, EXIT_INPUT, EXIT_BUG, EXIT_STOPPED = 1, 2, 3, 130
TRACEBACK = "GEARPLATE_TRACEBACK"
"""Set to anything, this variable of the environment shows where a fault of ours came from."""


class CommandGroup(click.Group):
    """Finds a command's module by its name, and says the nearest name where there is none."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        command: click.Command = importlib.import_module(f"gearplate.cli.{cmd_name}_command").command
        return command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        if args and args[0] not in COMMANDS and not args[0].startswith("-"):
            import difflib

            near = difflib.get_close_matches(args[0], COMMANDS, n=1, cutoff=0.4)
            hint = f" Did you mean {near[0]}?" if near else ""
            raise click.UsageError(f"there is no command {args[0]!r}.{hint} Commands: {', '.join(COMMANDS)}.", ctx)
        return super().resolve_command(ctx, args)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))


@click.group(cls=CommandGroup, invoke_without_command=True, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="gearplate", message="%(prog)s %(version)s")
@click.pass_context
def gearplate(ctx: click.Context) -> None:
    """From one job file to two cut-ready gearbox plates: gear train, shaft places, plates, kerf, cut files, checks."""
    if ctx.invoked_subcommand is None:
        say(BARE)


def run(arguments: list[str]) -> int:
    """Run with these arguments; the exit code. A command returns its own, or None for 0."""
    try:
        result = gearplate.main(arguments, prog_name="gearplate", standalone_mode=False)
        return result if isinstance(result, int) else 0
    except SystemExit as stop:  # the command library's answer to a reader that has gone
        return stop.code if isinstance(stop.code, int) else EXIT_NO
    except (click.exceptions.Abort, KeyboardInterrupt):
        complain("gearplate: stopped. Nothing was written.")
        return EXIT_STOPPED
    except click.ClickException as error:
        context = getattr(error, "ctx", None)
        complain(f"gearplate: {error.format_message()}")
        complain(f"Type {context.command_path if context else 'gearplate'} --help for what there is.")
        return EXIT_INPUT
    except JobError as error:
        return _report(error)
    except ToolBug as error:
        return _our_fault(error, str(error))
    except Stopped as error:
        complain(f"gearplate: {error} Nothing was written.")
        return error.exit_code
    except GearplateError as error:
        complain(f"gearplate: {error}")
        return error.exit_code
    except RecursionError:
        complain("gearplate: the input is nested too deeply. Nothing was written.")
        return EXIT_INPUT
    except MemoryError:
        complain("gearplate: not enough memory. Nothing was written.")
        return EXIT_INPUT
    except OSError as error:
        name = f"{error.filename}: " if error.filename else ""
        complain(f"gearplate: {name}{error.strerror or error}. Nothing was changed.")
        return EXIT_INPUT
    except Exception as error:
        from gearplate.cli.interrupt import came

        if came():  # it came while a library was being loaded, which made an error of its own of it
            complain("gearplate: stopped. Nothing was written.")
            return EXIT_STOPPED
        return _our_fault(error, f"{type(error).__name__}: {error}")


def _report(error: JobError) -> int:
    count = len(error.problems)
    complain(f"{count} thing{'s' if count != 1 else ''} to mend. Nothing was written.")
    for problem in error.problems[:MOST_TOLD]:
        complain(f"  {problem}")
    if count > MOST_TOLD:
        complain(f"  and {count - MOST_TOLD} more, which --json tells")
    return error.exit_code


def _our_fault(error: Exception, text: str) -> int:
    import traceback

    frame = traceback.extract_tb(error.__traceback__)[-1]
    place = f"{os.path.basename(frame.filename)}, line {frame.lineno}"
    complain(
        f"gearplate: this is a fault of gearplate {__version__} itself, please report it: {text} ({place}). "
        f"With {TRACEBACK}=1 in the environment it shows the whole way there."
    )
    if os.environ.get(TRACEBACK):
        traceback.print_exception(error, file=sys.stderr)
    return EXIT_BUG
