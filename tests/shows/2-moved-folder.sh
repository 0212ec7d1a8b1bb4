# Case 2: the folder is moved away. A command at the old path makes nothing there, and the build is whole at the new one.
dryfit person add ines
dryfit do - temperature '19 °C'
mv state elsewhere
dryfit do - temperature '20 °C' --state state --as ines; echo "exit $?"
test -e state || echo 'nothing at the old path'
dryfit verify elsewhere | grep -c 'nothing is wrong'
# shows
# exit 2
# nothing at the old path
# 1
