"""The numbers of a job, without a drawing."""

from . import Output
from .job import NUMBERS, READING

OUTPUT = Output(
    "explain",
    "marking.outputs.job",
    "Show where the marks of {@spec} fall, and how well they can be read.",
    (*NUMBERS, *READING),
    (
        'explain "110 N·m + 90° +10/-0" --points 12 --drive 1/2 --od "27.8 mm"',
        'explain "hand tight then 2 flats ±5" --points 6 --drive 3/8 --around "66,4 mm"',
    ),
    "never",
)
