"""The database itself forbids changing or deleting entries, on SQLite and on PostgreSQL."""

from django.db import migrations
from django.db.backends.base.schema import BaseDatabaseSchemaEditor
from django.db.migrations.state import StateApps

SQLITE_FORBID = [
    """CREATE TRIGGER entry_no_update BEFORE UPDATE ON entry
    BEGIN SELECT RAISE(ABORT, 'entries are never changed: amend or withdraw instead'); END""",
    """CREATE TRIGGER entry_no_delete BEFORE DELETE ON entry
    BEGIN SELECT RAISE(ABORT, 'entries are never deleted: withdraw instead'); END""",
]
SQLITE_ALLOW = ["DROP TRIGGER entry_no_update", "DROP TRIGGER entry_no_delete"]
POSTGRESQL_FORBID = [
    """CREATE FUNCTION entry_is_immutable() RETURNS trigger LANGUAGE plpgsql AS $$
    BEGIN RAISE EXCEPTION 'entries are never changed or deleted: amend or withdraw instead'; END $$""",
    """CREATE TRIGGER entry_no_change BEFORE UPDATE OR DELETE ON entry
    FOR EACH ROW EXECUTE FUNCTION entry_is_immutable()""",
    """CREATE TRIGGER entry_no_truncate BEFORE TRUNCATE ON entry
    FOR EACH STATEMENT EXECUTE FUNCTION entry_is_immutable()""",
]
POSTGRESQL_ALLOW = [
    "DROP TRIGGER entry_no_truncate ON entry",
    "DROP TRIGGER entry_no_change ON entry",
    "DROP FUNCTION entry_is_immutable()",
]


def _run(editor: BaseDatabaseSchemaEditor, *, sqlite: list[str], postgresql: list[str]) -> None:
    for statement in {"sqlite": sqlite, "postgresql": postgresql}[editor.connection.vendor]:
        editor.execute(statement)


def forbid(_apps: StateApps, editor: BaseDatabaseSchemaEditor) -> None:
    """Put the triggers up."""
    _run(editor, sqlite=SQLITE_FORBID, postgresql=POSTGRESQL_FORBID)


def allow(_apps: StateApps, editor: BaseDatabaseSchemaEditor) -> None:
    """Take the triggers down."""
    _run(editor, sqlite=SQLITE_ALLOW, postgresql=POSTGRESQL_ALLOW)


class Migration(migrations.Migration):
    dependencies = [("ledger", "0001_initial")]
    operations = [migrations.RunPython(forbid, allow)]
