saltwright --help
for command in formulate check compare batch audit catalogue; do
    echo
    saltwright $command --help
done
saltwright
