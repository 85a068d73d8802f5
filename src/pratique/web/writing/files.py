"""Text files a page sent: their text goes where it can be seen and put right, for no page gives a file back."""

from collections.abc import Sequence

from pratique.casework.writing.desk import Answers
from pratique.casework.writing.fields import Field, Widget


def with_texts_of_files(fields: Sequence[Field], answers: Answers) -> Answers:
    """Return the answers with each text file's text in the field it fills; what is no text stays a file."""
    found = dict(answers)
    for field in fields:
        content = answers.get(field.name)
        if field.widget is not Widget.FILE or not isinstance(content, bytes) or not field.fills:
            continue
        try:
            found[field.fills] = content.decode("utf-8-sig").replace("\0", "")
        except UnicodeDecodeError:
            continue
        del found[field.name]
    return found


def has_files(answers: Answers) -> bool:
    """Return whether a file is among the answers, which the page cannot put back."""
    return any(isinstance(one, bytes) for one in answers.values())
