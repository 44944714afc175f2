#!/bin/bash
# Makes the files of this folder anew, in a folder `out`: needs LibreOffice, Chromium, qpdf, mutool, Ghostscript, pdftk, ImageMagick, tesseract, poppler-utils.
# Outputs vary with the versions of these programs; the committed files are what the test reads.
set -e
mkdir -p out/altered out/innocent work; cd work
rows='<tr><td>Front radar</td><td>dynamic</td><td>62%</td><td>FAILED</td></tr><tr><td>Front camera</td><td>static</td><td>100%</td><td>PASSED</td></tr>'
head='<h2>Calibration record</h2><p>VIN LE9NX41K7RD204417</p><p>Date 2026-10-20 14:05, job RO-4471</p>'
foot='<p>Trouble codes after the work: C1A67-54 active, U0155-87 stored. Battery 13.4 V.</p>'
page() { printf '<!DOCTYPE html><html><head><meta charset="utf-8"><style>body{font:11pt "DejaVu Sans"}th{background:#22384f;color:#fff}td,th{padding:4px 18px 4px 4px;text-align:left}%s</style></head><body>%s<table><tr><th>Sensor</th><th>Procedure</th><th>Progress</th><th>Result</th></tr>%s</table>%s%s</body></html>' "$2" "$head" "$rows" "$foot" "$3" > $1.html; }
chrome() { chromium --headless --no-sandbox --no-pdf-header-footer --print-to-pdf=$1.pdf file://$PWD/$1.html 2>/dev/null; }
office() { soffice --headless --infilter='HTML (StarWriter)' --convert-to pdf:writer_pdf_Export --outdir . $1.html >/dev/null 2>&1; }
page base '' ''; chrome base; cp base.pdf chr.pdf
printf '<html><body><p><font face="DejaVu Sans" size="3">Calibration record</font></p><p><font face="DejaVu Sans">VIN LE9NX41K7RD204417</font></p><p><font face="DejaVu Sans">Date 2026-10-20 14:05, front radar 62%% FAILED</font></p><p><font face="DejaVu Sans">Code C1A67-54 active, U0155-87 stored, P0301</font></p>%s</body></html>' > paper.html
office paper; cp paper.pdf lo.pdf
# A page of standard fonts, by Ghostscript.
cat > std.ps <<'PS'
<< /PageSize [612 792] >> setpagedevice
/Helvetica-Bold findfont 16 scalefont setfont 72 720 moveto (Calibration record) show
/Helvetica findfont 11 scalefont setfont
72 690 moveto (VIN LE9NX41K7RD204417) show
72 672 moveto (Date 2026-10-20 14:05) show
72 654 moveto (Front radar, dynamic, progress 62%, FAILED) show
72 636 moveto (Code C1A67-54 active) show
showpage
PS
gs -q -dNOPAUSE -dBATCH -sDEVICE=pdfwrite -dCompressPages=false -dCompressFonts=true -o std.pdf std.ps
qdf() { qpdf --qdf --object-streams=disable --no-original-object-ids $1 $2; }
fix() { fix-qdf $1 > $2; }
overlay() { gs -q -dNOPAUSE -dBATCH -sDEVICE=pdfwrite -o $1.pdf $1.ps; }
O=../out

# --- altered ---
# white box and another percentage, drawn by Ghostscript and stamped on by pdftk
printf '%%!PS\n<< /PageSize [612 792] >> setpagedevice 1 setgray 222 650 24 14 rectfill 0 setgray /Helvetica findfont 11 scalefont setfont 221 654 moveto (100%%) show showpage' > o1.ps; overlay o1
pdftk std.pdf stamp o1.pdf output $O/altered/stamp-percentage.pdf
# the whole VIN
printf '%%!PS\n<< /PageSize [612 792] >> setpagedevice 1 setgray 90 686 150 15 rectfill 0 setgray /Helvetica findfont 11 scalefont setfont 93.5 690 moveto (LE9NX41K7RD204471) show showpage' > o2.ps; overlay o2
qpdf std.pdf --overlay o2.pdf -- $O/altered/overlay-vin.pdf
# text made white in the content stream
qdf std.pdf q3; perl -0pe 's/(.*)(\(Code|\[\(C)/$1 1 g\n$2/s' q3 > q3b; fix q3b $O/altered/white-code.pdf
# rendering mode 3
qdf std.pdf q4; perl -0pe 's/(.*)(\(Code|\[\(C)/$1 3 Tr\n$2/s' q4 > q4b; fix q4b $O/altered/mode3-code.pdf
# ToUnicode of a LibreOffice font: what draws 7 is called 1
qdf lo.pdf q5; perl -pe 's/<0037>/<0031>/' q5 > q5b; fix q5b $O/altered/tounicode-office.pdf
# ToUnicode of a Chromium font: 6 is called 9
qdf chr.pdf q6; perl -0pe 's{9 beginbfrange(.*?)<0013> <001D> <0030>}{11 beginbfrange$1<0013> <0018> <0030>\n<0019> <0019> <0039>\n<001A> <001D> <0037>}s' q6 > q6b; fix q6b $O/altered/tounicode-chromium.pdf
# an opaque box with another outcome in a page of the browser
page w7 '.c{position:absolute;background:#fff;z-index:3}' '<script>for(const td of document.querySelectorAll("td"))if(td.textContent==="FAILED"){const r=td.getBoundingClientRect();const d=document.createElement("div");d.className="c";d.style.cssText=`left:${r.left}px;top:${r.top}px;width:${r.width}px;height:${r.height}px;padding:4px`;d.textContent="PASSED";document.body.append(d)}</script>'; chrome w7; cp w7.pdf $O/altered/box-outcome-browser.pdf
# a line without opacity
qdf std.pdf q8; perl -0pe 's/(.*)(\(Code|\[\(C)/$1 \/G0 gs\n$2/s; s{/Resources <<}{/Resources <<\n    /ExtGState << \/G0 << \/ca 0 >> >>}' q8 > q8b; fix q8b $O/altered/no-opacity.pdf
# white text in an office program
printf '<html><body><p>VIN LE9NX41K7RD204417, result PASSED</p><p><font color="#ffffff">Result FAILED, code C1A99-76</font></p></body></html>' > w9.html; office w9; cp w9.pdf $O/altered/white-office.pdf
# mutool: an opaque square and other words as annotations
cat > m10.js <<'JS'
var doc = new PDFDocument("std.pdf"); var page = doc.loadPage(0)
var box = page.createAnnotation("Square"); box.setRect([95,108,160,122]); box.setColor([1,1,1]); box.setInteriorColor([1,1,1]); box.setBorder(0); box.update()
var note = page.createAnnotation("FreeText"); note.setRect([95,107,200,123]); note.setContents("2026-10-27"); note.setDefaultAppearance("Helv", 11, [0,0,0]); note.setBorder(0); note.update()
doc.save("m10.pdf", "")
JS
mutool run m10.js; cp m10.pdf $O/altered/annotations-date.pdf
# the visible page made smaller: the codes lie beside it
qdf std.pdf q11; perl -pe 's{/MediaBox}{/CropBox [0 645 612 792]\n  /MediaBox}' q11 > q11b; fix q11b $O/altered/cropped-code.pdf
# a size that nobody reads
qdf std.pdf q12; perl -0pe 's/(.*)(\(Code|\[\(C)/$1 \/R7 0.4 Tf\n$2/s' q12 > q12b; F=$(grep -ao '/R[0-9]* [0-9.]* Tf' q12 | tail -1 | cut -d' ' -f1); sed -i "s#/R7 0.4#$F 0.4#" q12b; fix q12b $O/altered/tiny-code.pdf
# Ghostscript draws a black bar over a code, and the text stays
printf '<< /EndPage { exch pop 2 lt dup { gsave 0 setgray 100 633 52 13 rectfill grestore } if } >> setpagedevice' > bar.ps
gs -q -dNOPAUSE -dBATCH -sDEVICE=pdfwrite -o $O/altered/bar-code.pdf bar.ps std.ps
# a layer that is switched off
qdf std.pdf q14; perl -0pe 's/(.*)(BT.*?(?:\(Code|\[\(C).*?ET)/$1\/OC \/L1 BDC\n$2\nEMC/s; s{/Type /Catalog}{/Type /Catalog\n  /OCProperties << /OCGs [ 90 0 R ] /D << /OFF [ 90 0 R ] >> >>}; s{/Resources <<}{/Resources <<\n    /Properties << /L1 90 0 R >>}' q14 > q14b
python3 - <<'PY'
s=open('q14b','rb').read()
i=s.rindex(b'\nxref\n')+1; n=s[:i].count(b' 0 obj\n')+1
obj=(b'%d 0 obj\n<< /Type /OCG /Name (notes) >>\nendobj\n\n'%n)
s=s[:i]+obj+s[i:]; s=s.replace(b'90 0 R',b'%d 0 R'%n)
open('q14c','wb').write(s)
PY
fix q14c q14d; qpdf q14d $O/altered/layer-off.pdf || true
# a clip that shows nothing of a line
qdf std.pdf q15; perl -0pe 's/(.*)(BT.*?(?:\(Code|\[\(C).*?ET)/$1q 0 0 5 5 re W n\n$2\nQ/s' q15 > q15b; fix q15b $O/altered/clip-code.pdf

# --- innocent ---
page i1 'tr:nth-child(even) td{background:#dde} h2{text-shadow:1px 1px 2px #888}' ''; chrome i1; cp i1.pdf $O/innocent/stripes-shadow.pdf
page i2 '.w{position:fixed;top:40%;left:10%;font-size:70pt;opacity:.12;transform:rotate(-30deg)}' '<div class="w">COPY 2026</div>'; chrome i2; cp i2.pdf $O/innocent/watermark.pdf
page i3 'h2{background:linear-gradient(90deg,#123,#678);color:#fff} p{color:#fff;background:#333}' ''; chrome i3; cp i3.pdf $O/innocent/gradient-dark.pdf
page i4 'h2{background:linear-gradient(90deg,#c00,#00c);-webkit-background-clip:text;color:transparent}' ''; chrome i4; cp i4.pdf $O/innocent/gradient-letters.pdf
page i5 'td{max-width:40px;overflow:hidden;white-space:nowrap}' ''; chrome i5; cp i5.pdf $O/innocent/cut-cells.pdf
page i6 'p{-webkit-text-stroke:.5px #000;color:#fff} td{mix-blend-mode:multiply}' '<input value="48211 km"><p style="text-decoration:line-through">P0301</p>'; chrome i6; cp i6.pdf $O/innocent/outlined-blended.pdf
cat > m7.js <<'JS'
var doc = new PDFDocument("std.pdf"); var page = doc.loadPage(0)
var mark = page.createAnnotation("Highlight"); mark.setQuadPoints([[95,96,215,96,95,110,215,110]]); mark.setColor([1,1,0]); mark.update()
doc.save("m7.pdf", "")
JS
mutool run m7.js && cp m7.pdf $O/innocent/marker.pdf
printf '%%!PS\n<< /PageSize [612 792] >> setpagedevice 1 0 0 setrgbcolor 3 setlinewidth 380 640 150 60 rectstroke /Helvetica-Bold findfont 22 scalefont setfont 392 662 moveto (RECEIVED) show showpage' > o8.ps; overlay o8
pdftk std.pdf stamp o8.pdf output $O/innocent/stamp.pdf
pdftk std.pdf background o1.pdf output $O/innocent/background.pdf
gs -q -dNOPAUSE -dBATCH -sDEVICE=png16m -r110 -o scan.png std.pdf; tesseract scan.png scan --dpi 110 pdf >/dev/null 2>&1; cp scan.pdf $O/innocent/scan-with-text.pdf
convert -size 300x80 xc:none -fill 'rgba(0,0,160,0.5)' -draw 'circle 150,40 150,5' logo.png; page i11 '.l{position:absolute;left:20px;top:60px}' '<img class="l" src="logo.png">'; chrome i11; cp i11.pdf $O/innocent/translucent-picture.pdf
qpdf --linearize std.pdf $O/innocent/linearised.pdf
gs -q -dNOPAUSE -dBATCH -sDEVICE=pdfwrite -o $O/innocent/distilled-again.pdf chr.pdf
mutool clean -gggz lo.pdf $O/innocent/cleaned.pdf
pdftocairo -pdf chr.pdf $O/innocent/cairo.pdf
qpdf --rotate=90:1 std.pdf $O/innocent/rotated.pdf
mutool convert -F pdf -o $O/innocent/converted.pdf chr.pdf
printf '<html><body><p>VIN LE9NX41K7RD204417</p><p style="background:#000000"><font color="#ffffff">Result PASSED, 2026-10-20</font></p><p><font style="font-size:5pt">Small print of 2026, RO-4471</font></p></body></html>' > w18.html; office w18; cp w18.pdf $O/innocent/dark-office.pdf
