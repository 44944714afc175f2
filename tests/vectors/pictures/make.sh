#!/bin/sh
# Makes the samples of this folder again. ImageMagick 6.9.11-60 (libtiff 4.5.0, libheif 1.15.1), exiftool 12.57: Debian 12.
set -eu
cd "$(dirname "$0")"
base=$(mktemp --suffix=.png)
trap 'rm -f "$base"' EXIT
convert -size 60x40 xc:white -fill red -draw 'rectangle 0,0 29,19' -fill lime -draw 'rectangle 30,0 59,19' \
  -fill blue -draw 'rectangle 0,20 29,39' "$base"
for kind in None LZW Zip RLE JPEG; do
  convert "$base" -type TrueColor -depth 8 -compress "$kind" "rgb-$(echo "$kind" | tr '[:upper:]' '[:lower:]').tif"
done
convert "$base" -type TrueColor -compress Zip -endian MSB -depth 16 rgb16-zip-big-endian.tif
convert "$base" -type TrueColor -depth 8 -compress LZW -define tiff:predictor=2 -define tiff:rows-per-strip=7 rgb-lzw-predictor-strips.tif
convert "$base" -type TrueColor -depth 8 -compress Zip -define tiff:tile-geometry=16x16 rgb-zip-tiles.tif
convert "$base" -compress None -type Palette palette.tif
convert "$base" -colorspace Gray -type Grayscale -depth 8 -compress LZW grey-lzw.tif
for kind in Fax Group4; do
  convert "$base" -colorspace Gray -threshold 40% -type bilevel -compress "$kind" "bilevel-$(echo "$kind" | tr '[:upper:]' '[:lower:]').tif"
done
convert "$base" \( "$base" -rotate 90 \) \( "$base" -rotate 180 \) -colorspace Gray -threshold 40% -type bilevel -compress Group4 three-pages-group4.tif
convert "$base" -colorspace CMYK -compress LZW cmyk-lzw.tif
for turn in 3 6; do
  cp rgb-lzw.tif "oriented-$turn.tif"
  exiftool -q -overwrite_original -n -Orientation=$turn "oriented-$turn.tif"
done
convert "$base" -quality 90 still.heic
convert "$base" -quality 90 with-camera.heic
exiftool -q -overwrite_original -n -Make=Orvane -Model=P3 -Software='P3 4.1' -DateTimeOriginal='2026:10:20 14:07:40' \
  -OffsetTimeOriginal=-06:00 -SubSecTimeOriginal=250 -GPSLatitude=39.51 -GPSLatitudeRef=N -GPSLongitude=105.25 \
  -GPSLongitudeRef=W with-camera.heic
for quality in 20 50 75 92 100; do
  convert "$base" -sampling-factor 1x1 -quality "$quality" "quality-$quality.jpg"
done
# What another program leaves: its name, the steps of its work, and a small copy of another picture.
cp quality-75.jpg edited.jpg
convert "$base" -rotate 180 -strip -quality 60 /tmp/small.jpg
exiftool -q -overwrite_original -Make=Orvane -Model=P3 -Software='P3 4.1' -DateTimeOriginal='2026:10:20 14:07:40' \
  -ModifyDate='2026:10:22 09:12:00' -ProcessingSoftware='Blotter Raw 2' -XMP-xmp:CreatorTool='Blotter Paint 4' \
  -XMP-xmpMM:HistoryAction=saved -XMP-xmpMM:HistorySoftwareAgent='Blotter Paint 4' -LensModel='P3 main' \
  -SerialNumber=4471 -ExifImageWidth=80 -ExifImageHeight=40 -ImageDescription='target before the vehicle' \
  '-ThumbnailImage<=/tmp/small.jpg' edited.jpg
# The same camera's data without any of that, and a small copy of the picture itself.
cp quality-75.jpg original.jpg
convert "$base" -strip -quality 60 /tmp/small.jpg
exiftool -q -overwrite_original -Make=Orvane -Model=P3 -Software='P3 4.1' -DateTimeOriginal='2026:10:20 14:07:40' \
  -ModifyDate='2026:10:20 14:07:40' -ExifImageWidth=60 -ExifImageHeight=40 -XMP-xmp:CreatorTool='P3 4.1' \
  '-ThumbnailImage<=/tmp/small.jpg' original.jpg
rm -f /tmp/small.jpg
convert "$base" -strip plain.png
convert "$base" -strip -define webp:lossless=true plain.webp
