package journal

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// Values of the table "Filesystem type constants" in the manual page statfs(2).
func TestNetworkMagicNumbers(t *testing.T) {
	for magic, want := range map[uint32]string{0x6969: "NFS", 0xff534d42: "CIFS", 0xfe534d42: "SMB2", 0x517b: "SMB",
		0xef53 /* ext4 */ : "", 0x9123683e /* btrfs */ : "", 0x58465342 /* xfs */ : "", 0x01021994 /* tmpfs */ : ""} {
		if got := networkMagic[magic]; got != want {
			t.Errorf("%#x is %q, want %q", magic, got, want)
		}
	}
	if kind := networkKind(t.TempDir()); kind != "" {
		t.Skipf("temporary files are on %s", kind)
	}
}

// A data folder on NFS is refused with the reason, whoever asks, and nothing is put
// there.
func TestNetworkFolderIsRefused(t *testing.T) {
	copied := filepath.Join(t.TempDir(), "copy.db")
	must(t, open(t, t.TempDir()).BackupTo(copied))
	real := statfs
	t.Cleanup(func() { statfs = real })
	statfs = func(_ string, st *syscall.Statfs_t) error {
		st.Type = 0x6969
		return nil
	}
	dir := t.TempDir()
	for name, use := range map[string]func() error{
		"Open":         func() error { _, err := Open(dir, Options{}); return err },
		"OpenReadOnly": func() error { _, err := OpenReadOnly(dir); return err },
		"RestoreFrom":  func() error { _, err := RestoreFrom(copied, dir, Options{}); return err },
	} {
		err := use()
		if network, ok := errors.AsType[ErrNetworkFolder](err); !ok || network.Kind != "NFS" || network.Dir != dir {
			t.Errorf("%s: %v, want a refusal", name, err)
		}
	}
	if left, err := os.ReadDir(dir); err != nil || len(left) > 0 {
		t.Errorf("left in the folder: %v %v", left, err)
	}
}

// The first line is the example of proc_pid_mountinfo(5), the others are made in
// its image.
const mountinfo = `36 35 98:0 /mnt1 /mnt2 rw,noatime master:1 - ext3 /dev/root rw,errors=continue
22 1 8:2 / / rw,relatime shared:1 - ext4 /dev/sda2 rw
40 22 0:45 / /home/shed/far\040away rw,nosuid,nodev - fuse.sshfs shed@host:/ rw,user_id=1000
41 22 0:46 / /media/stick rw - fuseblk /dev/sdb1 rw
42 22 0:47 / /home/shed/far rw - tmpfs tmpfs rw
`

func TestMountType(t *testing.T) {
	for path, want := range map[string]string{
		"/home/shed/far away/data": "fuse.sshfs", "/home/shed/far away": "fuse.sshfs", "/home/shed/far": "tmpfs",
		"/home/shed/farther": "ext4", "/media/stick/shedbell": "fuseblk", "/": "ext4", "/mnt2/x": "ext3",
	} {
		if got := mountType(mountinfo, path); got != want {
			t.Errorf("%s is on %q, want %q", path, got, want)
		}
	}
	if !fuseNetworks["fuse.sshfs"] || fuseNetworks["fuseblk"] {
		t.Error("sshfs must be refused and a local NTFS disk must not")
	}
	if text := (ErrNetworkFolder{Dir: "/far", Kind: "NFS"}).Error(); !strings.Contains(text, "/far") || !strings.Contains(text, "this machine's own disk") {
		t.Error(text)
	}
}
