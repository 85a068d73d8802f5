"""The science half: pure functions of plain numbers; no clock, disk, network or shell."""
