saltwright catalogue "magnesium sulfate heptahydrate"
