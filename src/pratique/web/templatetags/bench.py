"""Filters of the bench's pages: figures as they are shown, and everything to be careful of in one list."""

from django import template

from pratique.casework.bench.card import BenchAnswer, Secondary
from pratique.casework.bench.saying import figure_words

register = template.Library()


@register.filter
def figure(one: Secondary) -> str:
    """Return a figure beside the answer, with its error where it has one."""
    return figure_words(one)


@register.filter
def all_cautions(answer: BenchAnswer) -> tuple[str, ...]:
    """Return what to be careful of: with these numbers first, then whatever the numbers are."""
    return (*answer.warnings, *answer.cautions)
