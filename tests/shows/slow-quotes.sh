# Slow on bad input: 3.9 MB of quotes are refused at their first fault.
head -c 3900000 /dev/zero | tr '\0' '"' > quotes.yaml
dryfit check quotes.yaml; echo "exit $?"
# shows
# too-large
# exit 1
