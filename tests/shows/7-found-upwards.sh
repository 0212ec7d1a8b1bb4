# Case 7: in a subfolder the build is found upwards, and no second one is founded inside it.
dryfit person add ines
mkdir -p state/photos
cd state/photos
dryfit person add mika --power helper; echo "exit $?"
cd ../..
find . -name journal
# shows
# exit 0
# ./state/journal
