package journal

import (
	"os"
	"path/filepath"
	"strings"
	"syscall"
)

// Magic numbers of network file systems, from Linux's include/uapi/linux/magic.h
// and the manual page statfs(2). 9p is left out: containers and virtual machines
// show local disks as 9p.
var networkMagic = map[uint32]string{
	0x6969:     "NFS",
	0xff534d42: "CIFS",
	0xfe534d42: "SMB2",
	0x517b:     "SMB",
	0x564c:     "NCP",
	0x73757245: "Coda",
	0x5346414f: "AFS",
	0x6b414653: "AFS",
	0x00c36400: "Ceph",
}

const fuseMagic = 0x65735546

// fuseNetworks are FUSE types that reach over a network; FUSE also serves local
// disks, so the magic number alone says nothing.
var fuseNetworks = map[string]bool{"fuse.sshfs": true, "fuse.rclone": true, "fuse.davfs": true, "fuse.davfs2": true,
	"fuse.glusterfs": true, "fuse.s3fs": true, "fuse.curlftpfs": true, "fuse.gvfsd-fuse": true, "fuse.cephfs": true}

// statfs asks the kernel which file system holds a folder; tests answer for it.
var statfs = syscall.Statfs

// networkKind names the network file system that holds dir, or is empty.
func networkKind(dir string) string {
	var st syscall.Statfs_t
	if statfs(dir, &st) != nil {
		return "" // whatever is wrong shows when the folder is used
	}
	magic := uint32(st.Type)
	if magic != fuseMagic {
		return networkMagic[magic]
	}
	real, err := filepath.EvalSymlinks(dir)
	if err != nil {
		return ""
	}
	if real, err = filepath.Abs(real); err != nil {
		return ""
	}
	mounts, err := os.ReadFile("/proc/self/mountinfo")
	if err != nil {
		return ""
	}
	if kind := mountType(string(mounts), real); fuseNetworks[kind] {
		return kind
	}
	return ""
}

// mountType finds the type of the mount that holds path in the text of
// /proc/self/mountinfo, whose fields are described in proc_pid_mountinfo(5).
func mountType(mountinfo, path string) string {
	unescape := strings.NewReplacer(`\040`, " ", `\011`, "\t", `\012`, "\n", `\134`, `\`)
	best, kind := -1, ""
	for l := range strings.Lines(mountinfo) {
		before, after, ok := strings.Cut(l, " - ")
		fields, types := strings.Fields(before), strings.Fields(after)
		if !ok || len(fields) < 5 || len(types) == 0 {
			continue
		}
		point := strings.TrimSuffix(unescape.Replace(fields[4]), "/")
		if (path == point || strings.HasPrefix(path, point+"/")) && len(point) >= best {
			best, kind = len(point), types[0]
		}
	}
	return kind
}
