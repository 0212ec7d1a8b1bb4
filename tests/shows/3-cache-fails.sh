# Case 3: a cache folder that cannot be written to refuses nobody.
dryfit person add ines
rm -rf "$HOME/.cache"
mkdir "$HOME/.cache"
: > "$HOME/.cache/dryfit"
dryfit do - temperature '19 °C'; echo "exit $?"
dryfit verify | grep -c 'nothing is wrong'
# shows
# exit 0
# 1
