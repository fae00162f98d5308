"""The Debian package in a root of its own: made, installed by dpkg, run there, removed without a trace.

    test_package.py BUILD_DIR SOURCE_DIR [unittest options]
"""
import gzip
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile
import unittest
import xml.etree.ElementTree

BUILD, SOURCE = pathlib.Path(sys.argv[1]), pathlib.Path(sys.argv[2])
sys.path.insert(0, str(SOURCE / "tests/support"))
import validation  # noqa: E402


def call(*arguments, **more):
    return subprocess.run([str(a) for a in arguments], capture_output=True, text=True, **more)


def copied(root, path):
    """Puts a file of this machine where it is found in the root, under every name that leads to it."""
    path = pathlib.Path(path)
    target = root / path.relative_to("/")
    if target.exists():
        return
    target.parent.mkdir(parents=True, exist_ok=True)
    shutil.copy(path.resolve(), target)


def libraries(program):
    return re.findall(r"(/\S+) \(0x", call("ldd", program).stdout)


class Package(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.folder = pathlib.Path(tempfile.mkdtemp())
        made = call("cpack", "-G", "DEB", "-B", cls.folder / "made", cwd=BUILD)
        if made.returncode != 0:
            raise AssertionError(made.stdout + made.stderr)
        (cls.deb,) = (cls.folder / "made").glob("*.deb")
        # a bare root: the loader, the libraries that the package asks others for, time zones and dpkg's own records
        cls.root = cls.folder / "root"
        admin = cls.root / "var/lib/dpkg"
        for part in ("info", "updates", "triggers"):
            (admin / part).mkdir(parents=True)
        (admin / "status").touch()
        for name in libraries(BUILD / "rakelight"):
            copied(cls.root, name)
        for zone in ("/usr/share/zoneinfo/Europe/London", "/usr/share/zoneinfo/tzdata.zi", "/usr/share/zoneinfo/leapseconds"):
            if pathlib.Path(zone).exists():
                copied(cls.root, zone)
        (cls.root / "tmp").mkdir()
        cls.before = cls.files()

    @classmethod
    def tearDownClass(cls):
        shutil.rmtree(cls.folder)

    @classmethod
    def files(cls):
        return sorted(str(p.relative_to(cls.root)) for p in cls.root.rglob("*") if "var/lib/dpkg" not in str(p) and "var/log" not in str(p))

    def dpkg(self, *arguments):
        # what it depends on is not in this root as packages, so only files are asked of it here
        done = call("dpkg", f"--root={self.root}", "--force-depends", "--force-not-root", "--force-bad-path", *arguments)
        self.assertEqual(done.returncode, 0, done.stdout + done.stderr)

    def inside(self, *arguments):
        if os.geteuid() == 0:
            return call("chroot", self.root, *arguments)
        return call("unshare", "--map-root-user", "chroot", self.root, *arguments)

    def test_installs_runs_and_leaves(self):
        self.dpkg("--install", self.deb)
        version = self.inside("/usr/bin/rakelight", "--version")
        self.assertEqual((version.returncode, version.stdout.split()[0]), (0, "rakelight"), version.stderr)
        example = self.inside("/usr/bin/rakelight", "check", "/usr/share/doc/rakelight/examples/home.toml")
        self.assertEqual(example.returncode, 0, example.stderr)
        section = self.inside("/usr/bin/rakelight", "profile", "--kind", "butt", "-o", "/tmp/butt.svg")
        self.assertEqual(section.returncode, 0, section.stderr)
        (self.root / "tmp/butt.svg").unlink()
        for name in ("usr/share/applications/rakelight.desktop", "usr/share/icons/hicolor/scalable/apps/rakelight.svg", "usr/share/mime/packages/rakelight.xml",
                     "usr/share/bash-completion/completions/rakelight"):
            self.assertTrue((self.root / name).is_file(), name)
        self.dpkg("--purge", "rakelight")
        self.assertEqual(self.files(), self.before)
        validation.row("package", "Debian package", "installed by dpkg in a bare root, run there, purged", "no file left behind", "no file left behind")

    def test_fields(self):
        fields = dict(line.split(": ", 1) for line in call("dpkg-deb", "--field", self.deb).stdout.splitlines() if re.match(r"\S+: ", line))
        self.assertEqual(fields["Package"], "rakelight")
        for needed in ("libc6", "libcairo2", "libglfw3", "libpng16-16", "fonts-dejavu-core", "tzdata"):
            self.assertIn(needed, fields["Depends"])

    def test_the_manual_names_every_command_and_option(self):
        with gzip.open(BUILD / "assets/package/rakelight.1.gz", "rt") as page:
            manual = page.read().replace("\\-", "-")
        commands = re.findall(r"^  ([a-z]+)  ", call(BUILD / "rakelight", "--help").stdout.split("Subcommands:")[1], re.M)
        self.assertGreater(len(commands), 8)
        for command in commands:
            self.assertIn(f".SS rakelight {command}\n", manual)
            for option in re.findall(r"^  (?:-\w,)?(--[a-z-]+)", call(BUILD / "rakelight", command, "--help").stdout, re.M):
                self.assertIn(option, manual, command)

    def test_bash_completes_what_the_program_says(self):
        script = (f"PATH={BUILD}:$PATH; source {SOURCE}/assets/package/rakelight.bash; COMP_WORDS=($1); COMP_CWORD=$2; _rakelight; printf '%s\\n' \"${{COMPREPLY[@]}}\"")

        def completions(line, at):
            return call("bash", "-c", script, "bash", line, at, cwd=self.folder).stdout.split()

        self.assertEqual(completions("rakelight ass", 1), ["assess"])
        self.assertEqual(completions("rakelight assess --js", 2), ["--json"])
        self.assertEqual(completions("rakelight render --map rak", 3), ["raking"])

    def test_menu_entry_icon_and_file_type(self):
        entry = (SOURCE / "assets/package/rakelight.desktop").read_text()
        for line in ("[Desktop Entry]", "Type=Application", "Exec=rakelight %f", "MimeType=application/x-rakelight-job;"):
            self.assertIn(line + "\n", entry)
        kind = xml.etree.ElementTree.parse(SOURCE / "assets/package/rakelight-mime.xml").getroot()
        space = "{http://www.freedesktop.org/standards/shared-mime-info}"
        self.assertEqual(kind.find(f"{space}mime-type").get("type"), "application/x-rakelight-job")
        self.assertEqual(xml.etree.ElementTree.parse(SOURCE / "assets/package/rakelight.svg").getroot().tag, "{http://www.w3.org/2000/svg}svg")


if __name__ == "__main__":
    unittest.main(argv=[sys.argv[0]] + sys.argv[3:])
