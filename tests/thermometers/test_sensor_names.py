"""Thermometers that the kernel shows as files have names that people can tell apart."""

from pathlib import Path

from candlebench.thermometers.finding import sensor_files
from candlebench.thermometers.sensor_names import sensor_name, sits_inside


def test_a_one_wire_probe_is_named_by_its_number_and_a_chip_by_its_name_and_label(tmp_path: Path) -> None:
    # The tree as the kernel's documentation of w1_therm and of the hwmon sysfs interface describes it.
    probe = tmp_path / "bus/w1/devices/28-0316a2794bff"
    probe.mkdir(parents=True)
    (probe / "w1_slave").write_text("", encoding="ascii")
    chip = tmp_path / "class/hwmon/hwmon2"
    chip.mkdir(parents=True)
    for name, text in (
        ("name", "coretemp\n"),
        ("temp1_input", "45000\n"),
        ("temp1_label", "Core 0\n"),
        ("temp2_input", "46000\n"),
    ):
        (chip / name).write_text(text, encoding="ascii")
    files = sensor_files(tmp_path)
    assert [sensor_name(file) for file in files] == [
        "one-wire probe 28-0316a2794bff",
        "coretemp, Core 0",
        "coretemp, temp2",
    ]
    assert [sits_inside(file) for file in files] == [False, True, True]
    (chip / "name").unlink()
    assert sensor_name(files[1]) == "hwmon2, Core 0"
