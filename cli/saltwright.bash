# SPDX-License-Identifier: GPL-3.0-or-later
# Completion of saltwright for bash.

_saltwright()
{
    local word=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD - 1]}
    local command=${COMP_WORDS[1]} names=
    COMPREPLY=()
    if [ "$COMP_CWORD" -eq 1 ]; then
        names="audit batch catalogue check compare formulate recipes renew start stock --help --version"
        mapfile -t COMPREPLY < <(compgen -W "$names" -- "$word")
        return
    fi
    case $before in
    --format) names="text json csv" ;;
    --amounts) names="metric us both" ;;
    --objective) names="closest even cheapest" ;;
    --trade-off) names="cost products" ;;
    --target)
        # Files, and the built-in sets by name.
        names=$(saltwright catalogue --targets --format csv 2>/dev/null |
            sed -n 's/^targets,"*\([a-z0-9-]*\).*,crop,.*/\1/p' | sort -u)
        compopt -o filenames 2>/dev/null
        mapfile -t COMPREPLY < <(compgen -f -W "$names" -- "$word")
        return
        ;;
    --water | --solution | --feed | --purified | --shelf | --label | --recipe | --stocks | --output | --make-up | \
        --sheet | --curve)
        compopt -o filenames 2>/dev/null
        mapfile -t COMPREPLY < <(compgen -f -- "$word")
        return
        ;;
    --measured-ec | --measured-ph | --scale-step | --fine-step | --trace-solution | --search-time | \
        --share | --stage | --water-price | --dose | --volume | --holds | --drained | --temperature | --meter-temperature | --read-as | --tank | \
        --factor | --head | --per-day | --fills | --store | --to-ec | --equal-within | --for | --only) return ;;
    --doubt)
        names="lab= lab-ph= label= scale= fine-scale= fill= injector= meter-ec=
            meter-ph="
        compopt -o nospace 2>/dev/null
        ;;
    *)
        case $command in
        audit)
            names="--water --solution --feed --drained --target --stage --read-as --purified
                --temperature --meter-temperature --format --brief --only --sheet --output --help"
            ;;
        batch)
            names="--water --target --stage --shelf --label --objective --equal-within --temperature --format
                --output --help"
            ;;
        catalogue) names="--targets --format --only --output --help" ;;
        check)
            names="--water --read-as --share --target --stage --recipe --dose --stocks --tank --factor --head
                --make-up --per-day --fills --store --shelf --label
                --top-up --volume --objective --equal-within --to-ec --amounts --temperature --meter-temperature
                --how-sure --measured-ec --measured-ph
                --doubt --format --brief --only --output --sheet --for --help"
            ;;
        compare)
            names="--water --purified --blend --water-price --target --stage --shelf --label
                --volume --objective --equal-within --temperature --amounts --format --brief --only --output
                --sheet --for --help"
            ;;
        formulate)
            names="--water --read-as --share --target --stage --shelf --label --volume
                --scale-step --fine-step --trace-solution --whole-packs
                --search-time --objective --equal-within --to-ec --temperature --meter-temperature --amounts --why --trade-off --curve --how-sure --measured-ec --measured-ph --doubt --format --brief --only --output --sheet --for --help"
            ;;
        recipes)
            names="--water --target --stage --shelf --label --one-recipe --volume --amounts --format --brief
                --only --objective --temperature --output --sheet --help"
            ;;
        renew)
            names="--solution --holds --water --read-as --target --stage --shelf --label
                --volume --objective --temperature --amounts --format --brief --only
                --output --sheet --for --help"
            ;;
        start) names="--format --output --help" ;;
        stock)
            names="--water --read-as --share --target --stage --shelf --label --tank --factor
                --head --third-tank --make-up --per-day --fills --store --scale-step --fine-step
                --trace-solution --whole-packs --search-time --objective --equal-within --to-ec --temperature --meter-temperature
                --amounts --how-sure --measured-ec --measured-ph --doubt --format --brief --only --output --sheet --for --help"
            ;;
        esac
        ;;
    esac
    mapfile -t COMPREPLY < <(compgen -W "$names" -- "$word")
}

complete -F _saltwright saltwright
