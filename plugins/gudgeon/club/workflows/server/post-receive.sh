#!/bin/sh
# For a bare repository on a server of your own: lay this file into its hooks/ as post-receive and make it executable.
# A push to the main branch builds the site anew; a push to any other branch answers with the review of what merging it gives.
# Tell it once where the site goes, in the bare repository:  git config gudgeon.site /srv/www/club
# The server needs git and Python 3.11 or newer. What is built is moved into its place only when it is whole; where no build
# could be worked out, the site that stands there stays. Who may push to the main branch decides which tool runs here.
set -eu
bare=$(cd "$(git rev-parse --git-dir)" && pwd)
site=$(git config gudgeon.site || true)
main=$(git symbolic-ref --short HEAD)
work="${bare}/gudgeon-work"
unset $(git rev-parse --local-env-vars)

lock="${bare}/gudgeon-lock"
for _ in $(seq 300); do
  mkdir "${lock}" 2>/dev/null && break
  sleep 1
done
trap 'rmdir "${lock}" 2>/dev/null || true' EXIT

tool_of_main() {
  test -d "${work}/.git" || git clone --quiet --no-checkout "${bare}" "${work}"
  cd "${work}"
  git fetch --quiet origin "+refs/heads/*:refs/remotes/origin/*"
  git checkout --quiet --force --detach "refs/remotes/origin/${main}"
}

while read -r _ new branch; do
  case "${new}" in *[!0]*) ;; *) continue ;; esac # a branch that was deleted
  case "${branch}" in refs/heads/*) ;; *) continue ;; esac
  git --git-dir "${bare}" rev-parse --verify --quiet "refs/heads/${main}" >/dev/null || continue
  tool_of_main
  if [ "${branch}" != "refs/heads/${main}" ]; then
    python3 start.py gudgeon review --main "refs/remotes/origin/${main}" --head "${new}" || true
  elif [ -z "${site}" ]; then
    echo "Nothing is published: git config gudgeon.site FOLDER tells where."
  else
    rm -rf "${site}.new"
    python3 start.py site --once --quiet --site-dir "${site}.new"
    python3 start.py gudgeon check --to-publish
    rm -rf "${site}.old"
    if [ -e "${site}" ]; then mv "${site}" "${site}.old"; fi
    mv "${site}.new" "${site}"
    rm -rf "${site}.old"
    echo "The site is published in ${site}."
  fi
done
