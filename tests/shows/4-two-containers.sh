# Case 4: a session in another process namespace (a container) holds the build. Its claim does not count as dead.
dryfit person add ines
mkfifo typed
unshare --pid --fork --kill-child dryfit person add tobias --power inspector < typed &
exec 3> typed
until find "$HOME/.cache/dryfit/locks" -type f 2>/dev/null | grep -q .; do sleep 0.1; done
dryfit do - temperature '19 °C'; echo "exit $?"
echo secret >&3
exec 3>&-
wait
dryfit do - temperature '19 °C'; echo "exit $?"
# shows
# exit 3
# exit 0
