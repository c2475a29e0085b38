"""The command line: arguments, exit statuses and printing, and no rule."""

import click

from handbook_builder import __version__
from handbook_builder.cli.ask import ask
from handbook_builder.cli.bring import bring
from handbook_builder.cli.building import build, serve
from handbook_builder.cli.checking import check
from handbook_builder.cli.compare import compare
from handbook_builder.cli.due import due
from handbook_builder.cli.equip import equip, schema
from handbook_builder.cli.figures import figures
from handbook_builder.cli.group import Commands
from handbook_builder.cli.label import label, sticker
from handbook_builder.cli.log import log
from handbook_builder.cli.new import new
from handbook_builder.cli.paper import paper
from handbook_builder.cli.plan import plan
from handbook_builder.cli.pour import pour
from handbook_builder.cli.price import price
from handbook_builder.cli.sign import sign
from handbook_builder.cli.start import start
from handbook_builder.cli.stock import stock
from handbook_builder.cli.tables import tables
from handbook_builder.cli.take import take
from handbook_builder.cli.trace import trace
from handbook_builder.cli.why import why


@click.group(cls=Commands, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="handbook")
def main() -> None:
    """Turn a candle studio's records into a handbook that lists only what was proven.

    Exit status: 0 when all is well, 1 when the records are at fault, 2 for a wrong call.
    """


for _command in (
    start, new, log, take, bring, build, serve, check, why, due, plan, compare, pour, paper,
    label, sticker, figures, price, trace, stock, ask, sign, tables,
    equip, schema,
):  # fmt: skip
    main.add_command(_command)
