#!/usr/bin/env bash
# Installs the Debian package on a bare Debian 12 (a folder made by debootstrap, taken away afterwards), uses it there as a
# person without rights would, and removes it again. As root. Not part of the checks: it fetches a whole system.
#   usage: bare_system.sh PACKAGE.deb
set -euo pipefail
package=$(realpath "${1:?usage: bare_system.sh PACKAGE.deb}")
command -v debootstrap >/dev/null || { echo "bare_system.sh: install debootstrap first" >&2; exit 2; }
root=$(mktemp -d)
chmod 755 "$root"
trap 'umount "$root/proc" 2>/dev/null || true; rm -rf --one-file-system "$root"' EXIT

# From where this system gets its own packages.
mirror=$(apt-get indextargets --format '$(SITE)' 'Component: main' | head -1)
debootstrap --variant=minbase bookworm "$root" "$mirror" >"$root.log" || { tail -5 "$root.log" >&2; exit 1; }
rm -f "$root.log"
mount -t proc proc "$root/proc"
for setting in /etc/apt/apt.conf.d/*proxy* /etc/resolv.conf; do
  if [ -f "$setting" ]; then cp "$setting" "$root$setting"; fi
done
inside() { chroot "$root" env -i PATH=/usr/bin:/usr/sbin:/bin:/sbin HOME=/home/clinic DEBIAN_FRONTEND=noninteractive "$@"; }
as_person() { inside setpriv --reuid clinic --regid clinic --clear-groups "$@"; }

cp "$package" "$root/tmp/intercusp.deb"
inside useradd -m clinic
inside apt-get update -qq
inside sh -c 'find / -xdev -not -path "/proc/*" -path "*intercusp*" -not -path "/tmp/*"' >"$root/before"
inside apt-get install -y -qq --no-install-recommends /tmp/intercusp.deb >/dev/null
echo "installed: $(inside intercusp --version)"

as_person sh -euc 'cd
  intercusp sample class3 -o case.glb
  intercusp move case.glb --plan A --segment upper --forward 5 --up 1 -o planned.glb
  intercusp measure planned.glb --plan A | head -3
  intercusp sheet planned.glb --plan A -o sheet.pdf
  test -s sheet.pdf'
as_person sh -euc 'cd; intercusp serve --port 8091 >serve.log & server=$!
  for _ in 1 2 3 4 5 6 7 8 9 10; do sleep 0.5; grep -q http serve.log && break; done
  kill $server; wait $server || true; grep http serve.log'

inside apt-get purge -y -qq intercusp >/dev/null
left=$(inside sh -c 'find / -xdev -not -path "/proc/*" -path "*intercusp*" -not -path "/tmp/*" -not -path "/home/*"' | grep -vxFf "$root/before" || true)
[ -z "$left" ] || { echo "left behind: $left" >&2; exit 1; }
echo "removed: nothing is left but what the person made"
