saltwright --help
for command in formulate check stock compare batch audit catalogue; do
    echo
    saltwright $command --help
done
saltwright
