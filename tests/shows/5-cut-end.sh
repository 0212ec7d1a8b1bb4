# Case 5: the machine that wrote a journal notices that its end was cut off.
dryfit person add ines
dryfit do - temperature '19 °C'
dryfit do - temperature '20 °C'
dryfit verify > /dev/null; echo "exit $?"
sed -i '$d' state/journal/*.jsonl
dryfit verify; echo "exit $?"
# shows
# exit 0
# exit 1
