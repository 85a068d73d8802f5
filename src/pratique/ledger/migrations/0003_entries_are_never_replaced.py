"""SQLite's INSERT OR REPLACE removes a row without firing its delete trigger, so inserting over an entry is refused."""

from django.db import migrations
from django.db.backends.base.schema import BaseDatabaseSchemaEditor
from django.db.migrations.state import StateApps

FORBID = """CREATE TRIGGER entry_no_replace BEFORE INSERT ON entry
    WHEN EXISTS (SELECT 1 FROM entry WHERE seq = NEW.seq OR id = NEW.id)
    BEGIN SELECT RAISE(ABORT, 'entries are never replaced: amend or withdraw instead'); END"""
ALLOW = "DROP TRIGGER entry_no_replace"


def forbid(_apps: StateApps, editor: BaseDatabaseSchemaEditor) -> None:
    """Put the trigger up; on PostgreSQL the one against UPDATE sees to it."""
    if editor.connection.vendor == "sqlite":
        editor.execute(FORBID)


def allow(_apps: StateApps, editor: BaseDatabaseSchemaEditor) -> None:
    """Take the trigger down."""
    if editor.connection.vendor == "sqlite":
        editor.execute(ALLOW)


class Migration(migrations.Migration):
    dependencies = [("ledger", "0002_entries_never_change")]
    operations = [migrations.RunPython(forbid, allow)]
