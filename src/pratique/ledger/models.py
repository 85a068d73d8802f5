"""The ledger's tables: immutable entries, the head of their chain, and what is derived from them."""

from django.db import models


class Entry(models.Model):
    """One immutable line. The database refuses to change or delete it (see migration 0002)."""

    seq = models.BigAutoField(primary_key=True)
    id = models.UUIDField(unique=True)
    kind = models.CharField(max_length=40)
    version = models.PositiveSmallIntegerField()
    happened_at = models.DateTimeField(db_index=True)
    zone = models.CharField(max_length=64)
    recorded_at = models.DateTimeField()
    author = models.CharField(max_length=80)
    source = models.CharField(max_length=10)
    amends = models.UUIDField(null=True, db_index=True)
    withdraws = models.UUIDField(null=True, db_index=True)
    # Canonical JSON text, not a JSON column: the hash chain needs the same characters back.
    payload = models.TextField()
    digest = models.CharField(max_length=64)

    class Meta:
        db_table = "entry"

    def __str__(self) -> str:
        return f"{self.kind} {self.id}"


class ChainHead(models.Model):
    """The last digest: one row, locked while entries are appended, so the chain has one order."""

    id = models.PositiveSmallIntegerField(primary_key=True, default=1)
    digest = models.CharField(max_length=64)
    count = models.BigIntegerField()

    class Meta:
        db_table = "chain_head"

    def __str__(self) -> str:
        return f"{self.count} entries, {self.digest}"


class EntryLink(models.Model):
    """Derived: which subject an entry speaks of, on what topic, and the number it gives, if it gives one."""

    entry = models.ForeignKey(Entry, on_delete=models.DO_NOTHING, db_column="seq", related_name="links")
    subject = models.CharField(max_length=120)
    kind = models.CharField(max_length=40)
    topic = models.CharField(max_length=60)
    number = models.FloatField(null=True)
    happened_at = models.DateTimeField()
    stands = models.BooleanField()

    class Meta:
        db_table = "entry_link"
        indexes = (
            models.Index(fields=["subject", "kind", "topic", "happened_at"], name="link_by_subject"),
            models.Index(fields=["kind", "happened_at"], name="link_by_kind"),
        )

    def __str__(self) -> str:
        return f"{self.subject}: {self.kind}/{self.topic}"


class Subject(models.Model):
    """Derived: the present state of one thing the household keeps, folded from the entries about it."""

    key = models.CharField(max_length=120, primary_key=True)
    type = models.CharField(max_length=20, db_index=True)
    state = models.TextField()

    class Meta:
        db_table = "subject"

    def __str__(self) -> str:
        return self.key
