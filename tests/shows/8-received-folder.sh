# Case 8: sync runs nothing that a received folder brings.
dryfit person add ines
git init --quiet --template= state
git -C state config core.fsmonitor "touch $PWD/marker"
dryfit sync; echo "exit $?"
test -e marker || echo 'nothing was run'
# shows
# core.fsmonitor
# exit 3
# nothing was run
