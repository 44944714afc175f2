#!/bin/bash
# Makes altered/ and unaltered/ beside this folder from three papers that say the same, by programs that are not ours.
# Wants qpdf, ghostscript, pdftk-java, mutool, poppler-utils, soffice, chromium, node with @cantoo/pdf-lib and OpenSSL.
# usage: make.sh OUT
set -u
here=$(cd "$(dirname "$0")" && pwd); mkdir -p "$1"; out=$(cd "$1" && pwd); work=$(mktemp -d); mkdir -p "$out/altered" "$out/unaltered"; cd "$work"
node "$here/base.mjs"
soffice --headless --infilter='HTML (StarWriter)' --convert-to pdf:writer_pdf_Export --outdir . "$here/record.html" >/dev/null 2>&1; mv record.pdf office.pdf
chromium --headless --no-sandbox --no-pdf-header-footer --print-to-pdf=browser.pdf "$here/record.html" >/dev/null 2>&1
A=$out/altered; U=$out/unaltered
# Where the word that tells the result stands on each paper: x y width height from the bottom left.
spot() { pdftotext -bbox "$1" - | awk -F'"' '/<page /{h=$4} />Failed</{printf "%.1f %.1f %.1f %.1f", $2-2, h-$8-1, $6-$2+30, $8-$4+2; exit}'; }
# The same from the top left, as corners: what annotations are given to mutool by.
box() { pdftotext -bbox "$1" - | awk -F'"' '/>Failed</{printf "%.1f %.1f %.1f %.1f", $2-2, $4-1, $6+26, $8+1; exit}'; }
size() { pdfinfo "$1" | awk '/^Page size/{print $3, $5}'; }
for p in lib office browser; do
  cp $p.pdf $U/$p-plain.pdf
  qpdf --linearize $p.pdf $U/$p-linearised.pdf
  qpdf --object-streams=generate --compress-streams=y $p.pdf $U/$p-object-streams.pdf
  qpdf --linearize --object-streams=generate $p.pdf $U/$p-linearised-object-streams.pdf
  qpdf --recompress-flate --compression-level=9 $p.pdf $U/$p-recompressed.pdf
  mutool clean -gggz $p.pdf $U/$p-cleaned.pdf
  pdftk $p.pdf cat output $U/$p-cat.pdf
  qpdf --empty --pages $p.pdf $p.pdf -- $U/$p-merged.pdf
  qpdf --encrypt "" owner 128 --use-aes=y -- $p.pdf $U/$p-encrypted-aes128.pdf
  qpdf --encrypt "" owner 256 -- --object-streams=generate $p.pdf $U/$p-encrypted-aes256.pdf
  mutool run "$here/touch.js" $p.pdf $U/$p-title-added.pdf Title 'Front radar'
  # altered
  mutool run "$here/paint.js" $p.pdf $A/$p-painted-update.pdf "$(spot $p.pdf)" Completed
  mutool run "$here/paint.js" $p.pdf $A/$p-painted-rewritten.pdf "$(spot $p.pdf)" Completed compress,garbage
  mutool run "$here/paint.js" $p.pdf $A/$p-whited-update.pdf "$(spot $p.pdf)" ''
  mutool run "$here/mark.js" $p.pdf $A/$p-freetext-update.pdf FreeText "$(box $p.pdf)" Completed
  mutool run "$here/mark.js" $p.pdf $A/$p-square-update.pdf Square "$(box $p.pdf)" ''
  mutool run "$here/mark.js" $p.pdf $A/$p-square-rewritten.pdf Square "$(box $p.pdf)" '' compress,garbage
  mutool run "$here/mark.js" $p.pdf $A/$p-stamp-update.pdf Stamp "$(box $p.pdf)" ''
  mutool run "$here/mark.js" $p.pdf $A/$p-ink-rewritten.pdf Ink "$(box $p.pdf)" '' compress
  printf '%%!PS\n<</PageSize [%s]>> setpagedevice 1 setgray %s rectfill 0 setgray /Helvetica 10 selectfont %s moveto (Completed) show showpage\n' "$(size $p.pdf)" "$(spot $p.pdf)" "$(spot $p.pdf | awk '{print $1, $2+3}')" > over.ps
  gs -q -sDEVICE=pdfwrite -o over.pdf over.ps; # a page that is white where it draws nothing is none: pdfwrite leaves it clear
  pdftk $p.pdf stamp over.pdf output $A/$p-stamped-rewritten.pdf
  soffice --headless --infilter=draw_pdf_import --convert-to fodg --outdir . $p.pdf >/dev/null 2>&1
  sed -i 's/Failed/Completed/g' $p.fodg && soffice --headless --convert-to pdf:draw_pdf_Export --outdir drawn $p.fodg >/dev/null 2>&1 && mv drawn/$p.pdf $A/$p-redrawn-by-office.pdf
done
gs -q -sDEVICE=pdfwrite -o $U/office-distilled.pdf office.pdf
gs -q -sDEVICE=pdfwrite -o $U/lib-distilled.pdf lib.pdf
pdfunite lib.pdf office.pdf $U/united.pdf
mutool merge -o $U/merged-by-mutool.pdf lib.pdf browser.pdf
mutool run "$here/field.js" form.pdf $U/form-filled-update.pdf 0 'left on the bay'
printf '%%FDF-1.2\n1 0 obj<</FDF<</Fields[<</T(remark)/V(left on the bay)>>]>>>>endobj\ntrailer<</Root 1 0 R>>\n%%%%EOF\n' > fill.fdf
pdftk form.pdf fill_form fill.fdf output $U/form-filled-rewritten.pdf
cp form.pdf $U/form-plain.pdf
# altered: words
mutool run "$here/words.js" lib.pdf $A/lib-words-update.pdf Failed Passed
mutool run "$here/words.js" lib.pdf $A/lib-angle-update.pdf '1.9 deg' '0.1 deg'
mutool run "$here/words.js" lib.pdf $A/lib-vin-update.pdf 1ZZTE5T11NB000421 1ZZTE5T16NB000432
mutool run "$here/words.js" lib.pdf $A/lib-words-rewritten.pdf Failed Passed garbage=compact,compress
qpdf --qdf --object-streams=disable lib.pdf q.pdf
python3 - <<'P'
d=open('q.pdf','rb').read()
n=d.replace(b'(Failed)',b'(Passed)').replace(b'Failed'.hex().encode(),b'Passed'.hex().encode()).replace(b'Failed'.hex().upper().encode(),b'Passed'.hex().upper().encode())
assert n!=d; open('r.pdf','wb').write(n)
P
fix-qdf r.pdf > $A/lib-qdf-by-hand.pdf
qpdf r.pdf $A/lib-qdf-then-written.pdf 2>/dev/null
qpdf --linearize r.pdf $A/lib-qdf-then-linearised.pdf 2>/dev/null
qpdf --linearize lib.pdf l.pdf; mutool run "$here/words.js" l.pdf $A/lib-linearised-words-update.pdf Failed Passed
qpdf --object-streams=generate lib.pdf o.pdf; mutool run "$here/words.js" o.pdf $A/lib-object-streams-words-update.pdf Failed Passed
qpdf --encrypt "" owner 128 --use-aes=y -- lib.pdf e.pdf; mutool run "$here/words.js" e.pdf $A/lib-encrypted-words-update.pdf Failed Passed
mutool run "$here/field.js" form.pdf $A/form-field-changed-update.pdf 1 no
mutool run "$here/words.js" form.pdf $A/form-words-update.pdf Failed Passed
qpdf --empty --pages lib.pdf browser.pdf -- two.pdf; mutool run "$here/drop.js" two.pdf $A/page-dropped-update.pdf
mutool run "$here/words.js" lib.pdf w.pdf Failed Passed; mutool run "$here/touch.js" w.pdf $A/lib-words-then-title-update.pdf Title 'Front radar'
printf 'InfoBegin\nInfoKey: Producer\nInfoValue: Blotter 3\nInfoBegin\nInfoKey: ModDate\nInfoValue: D:20260904093000Z\n' > info.txt
pdftk lib.pdf update_info info.txt output $A/lib-saved-later-rewritten.pdf
mutool run "$here/touch.js" lib.pdf $A/lib-other-producer-update.pdf Producer 'Blotter 3'
node "$here/updates.mjs" "$here" . "$A" "$U"
ls $A | wc -l; ls $U | wc -l; du -sh $out
