"""The printed sheet for readings: its face is that of all else here."""

import re

from clutchwright.report.readings_sheet import readings_pdf
from clutchwright.usecases import read_demo


def test_the_sheet_is_set_in_a_face_without_serifs():
    faces = set(re.findall(rb"/BaseFont/\w+\+([\w-]+)", readings_pdf(read_demo())))
    assert faces
    assert all(re.match(rb"LiberationSans|Arial|Helvetica|DejaVuSans", face) for face in faces), faces
