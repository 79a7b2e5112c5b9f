# Holds the judge's numbers against those of reduce.R: every number both have must agree to 1e-9 of itself.
#   Rscript compare.R JUDGED REDUCED
suppressPackageStartupMessages(library(data.table))
arguments <- commandArgs(trailingOnly = TRUE)
judged <- fread(file.path(arguments[1], "results.csv"), colClasses = list(character = "lab_number"))
reduced <- fread(file.path(arguments[2], "results.csv"), colClasses = list(character = "lab_number"))
judged <- judged[!is.na(value), .(lab_number, method, analyte, value)]
key <- c("lab_number", "method", "analyte")
reduced <- reduced[!is.na(value)]
judged[, row := .I]
# A soil read more than once, or diluted, has several numbers in R: the judge's must be one of them.
both <- merge(judged, reduced, by = key, suffixes = c("", "_r"), allow.cartesian = TRUE)
both[, off := abs(value - value_r) / pmax(abs(value), 1e-6)]
both <- both[both[, .I[which.min(off)], by = row]$V1]
cat(sprintf("       the same number in both: %d of %d in results.csv; largest difference %.1e of the number\n",
            sum(both$off <= 1e-9), nrow(judged), max(both$off)))
if (nrow(both) == 0 || nrow(both) < 0.9 * nrow(judged) || any(both$off > 1e-9)) {
  print(head(both[order(-off)], 5))
  quit(status = 1)
}
