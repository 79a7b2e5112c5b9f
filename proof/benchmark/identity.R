# Asks the one question of the trays as a statistician would script it: is there a tray that agrees better with the soils' other results when
# it is turned end for end, or when it changes places with another? Everything else that the judge does is left out.
#   Rscript identity.R DAY JUDGED TRUTH
# DAY is the day's folder, JUDGED what the judge wrote of it (for its numbers, on the log scale except pH), TRUTH the tray that was turned.
# Each analyte is predicted from the results of the other methods by robust regression (MASS::rlm); a tray's readings in each order are
# held against the prediction with the heavy tails of a t distribution of 4 degrees of freedom.
suppressPackageStartupMessages({library(data.table); library(MASS)})
setDTthreads(2)
arguments <- commandArgs(trailingOnly = TRUE)
results <- fread(file.path(arguments[2], "results.csv"), select = c("lab_number", "method", "analyte", "value"),
                 colClasses = list(character = "lab_number"))
places <- fread(file.path(arguments[1], "trays.csv"), colClasses = list(character = "lab_number"))[purpose == "soil" & lab_number != ""]
results <- results[analyte != "LOI"]
results[, scaled := if (analyte[1] == "pH") value else log(pmax(value, 1e-3)), by = analyte]
results[, name := paste(method, analyte)]
wide <- na.omit(dcast(results, lab_number ~ name, value.var = "scaled", fun.aggregate = function(x) x[1]))
numbers <- as.matrix(wide[, -1])
rownames(numbers) <- wide$lab_number
method_of <- sub(" .*", "", colnames(numbers))
places <- places[lab_number %in% rownames(numbers)]
trays <- split(places$lab_number, places$tray)

best <- NULL
for (method in unique(method_of)) {
  others <- cbind(1, scale(numbers[, method_of != method, drop = FALSE]))
  own <- numbers[, method_of == method, drop = FALSE]
  fits <- lapply(seq_len(ncol(own)), function(j) suppressWarnings(rlm(others, own[, j], maxit = 30)))
  predicted <- vapply(fits, fitted, numeric(nrow(own)))
  dim(predicted) <- dim(own)
  rownames(predicted) <- rownames(own)
  spread <- vapply(fits, `[[`, 0, "s")
  agreement <- function(read, belongs) {
    residual <- sweep(own[read, , drop = FALSE] - predicted[belongs, , drop = FALSE], 2, spread, "/")
    sum(-2.5 * log1p(residual^2 / 4))
  }
  as_read <- vapply(trays, function(tray) agreement(tray, tray), 0)
  turned <- vapply(trays, function(tray) agreement(rev(tray), tray), 0) - as_read
  best <- rbind(best, data.table(method, question = "turned", tray = names(trays), gain = turned))
  size <- lengths(trays)
  for (i in seq_along(trays)) for (j in seq_len(min(length(trays) - i, 30))) {
    if (size[i] == size[i + j]) {
      gain <- agreement(trays[[i]], trays[[i + j]]) + agreement(trays[[i + j]], trays[[i]]) - as_read[i] - as_read[i + j]
      if (gain > 0) best <- rbind(best, data.table(method, question = "exchanged", tray = paste(names(trays)[i], names(trays)[i + j]), gain))
    }
  }
}
found <- best[which.max(gain)]
cat(sprintf("%s %s %s %.1f\n", found$question, found$tray, found$method, found$gain))
if (found$question != "turned" || found$tray != arguments[3]) quit(status = 3)
