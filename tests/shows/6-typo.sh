# Case 6: a backup script that names a folder wrongly must not pass.
dryfit person add ines
dryfit verify --state typo; echo "exit $?"
dryfit verify typo; echo "exit $?"
mkdir empty
dryfit verify empty; echo "exit $?"
dryfit verify --state state; echo "exit $?"
# shows
# exit 2
# exit 2
# exit 2
# nothing is wrong
# exit 0
