# The same reduction and control check as the judge, written a second time in R with data.table: probe calibration and pH,
# loss on ignition, Mehlich-3 with internal standard, weighted straight line and blank, then every control against its
# material. No gates, brackets, causes, verdicts or uncertainty.
#
#   Rscript reduce.R DAY OUT
#
# writes OUT/results.csv (lab_number, run, method, analyte, value) and OUT/controls.csv.
suppressPackageStartupMessages(library(data.table))
arguments <- commandArgs(trailingOnly = TRUE)
day <- arguments[1]
out <- arguments[2]
dir.create(out, showWarnings = FALSE, recursive = TRUE)
at <- function(name) file.path(day, name)
text <- function(name, ...) fread(at(name), na.strings = "", ...)

runs <- text("runs.csv", colClasses = c(run = "character"))
standards <- text("standards.csv", colClasses = c(standard = "character"))
materials <- text("materials.csv")
hidden <- text("controls.csv", colClasses = c(lab_number = "character"))

wanted <- c("position", "role", "identity", "channel", "quantity", "value", "dilution")
types <- list(character = c("role", "identity", "channel", "quantity"), integer = "position",
              numeric = c("value", "dilution"))
files <- file.path("readings", paste0(runs$run, ".csv"))
readings <- rbindlist(lapply(seq_along(files), function(i) {
  if (!file.exists(at(files[i]))) return(NULL)
  one <- fread(at(files[i]), select = wanted, colClasses = types)
  one[, `:=`(run = runs$run[i], method = runs$method[i])]
  one
}), fill = TRUE)
if (is.null(readings$dilution)) readings[, dilution := 1]
readings[is.na(dilution), dilution := 1]
readings[is.na(channel), channel := ""]
readings <- readings[role != "wash"]

# ---- pH ----------------------------------------------------------------------------------------------------------
celsius <- seq(0, 50, 5)
buffers <- list(
  "4.01" = c(4.01, 4.00, 4.00, 4.00, 4.00, 4.01, 4.02, 4.03, 4.04, 4.05, 4.06),
  "7.00" = c(7.12, 7.09, 7.06, 7.04, 7.02, 7.00, 6.99, 6.98, 6.98, 6.97, 6.97),
  "10.01" = c(10.32, 10.25, 10.18, 10.12, 10.06, 10.01, 9.96, 9.92, 9.88, 9.85, 9.82))
at25 <- sapply(buffers, function(ph) ph[6])
buffer_ph <- function(declared, temperature) {
  nearest <- which.min(abs(at25 - declared))
  if (abs(at25[nearest] - declared) >= 0.06) return(rep(declared, length(temperature)))
  declared + approx(celsius, buffers[[nearest]], temperature, rule = 2)$y - at25[nearest]
}
wide <- function(id) {
  long <- readings[method == id, .(value = mean(value)),
                   by = .(run, position, role, identity, channel, dilution, quantity)]
  if (nrow(long) == 0) return(NULL)
  dcast(long, run + position + role + identity + channel + dilution ~ quantity, value.var = "value")
}
results <- list()
ph <- wide("ph-water-1-1")
if (!is.null(ph)) {
  declared <- standards[method == "ph-water-1-1"]
  ph[declared, declared := i.value, on = c(identity = "standard")]
  if (!is.null(ph$potential)) {
    buffer <- ph[role == "standard" & !is.na(potential) & !is.na(temperature)]
    buffer[, ph := buffer_ph(declared[1], temperature), by = declared]
    line <- buffer[, {
      x <- ph - mean(ph)
      per_ph <- sum(x * (potential - mean(potential))) / sum(x * x)
      .(slope = -per_ph, offset = mean(potential) + per_ph * (7 - mean(ph)), celsius = mean(temperature))
    }, by = .(run, channel)]
    ph[line, `:=`(slope = i.slope, offset = i.offset, celsius = i.celsius), on = .(run, channel)]
    ph[, value := 7 - (potential - offset) / (slope * (temperature + 273.15) / (celsius + 273.15))]
  } else ph[, value := NA_real_]
  if (!is.null(ph$pH)) ph[!is.na(pH), value := pH]
  ph[value < 1.8 | value > 11, value := NA]
  results$ph <- ph[role %in% c("sample", "duplicate", "control"),
                   .(run, position, role, identity, method = "ph-water-1-1", analyte = "pH", dilution, value)]
}

# ---- loss on ignition --------------------------------------------------------------------------------------------
loi <- wide("om-loi-360")
if (!is.null(loi)) {
  loi[, value := 100 * (dry - ash) / (dry - tare)]
  loi[tare <= 0 | dry - tare < 1 | dry - tare > 12 | ash > dry | ash < tare | value > 99, value := NA]
  loi <- loi[role %in% c("sample", "duplicate", "control")]
  results$loi <- loi[, .(run, position, role, identity, method = "om-loi-360", analyte = "LOI", dilution, value)]
  results$om <- loi[, .(run, position, role, identity, method = "om-loi-360", analyte = "OM", dilution,
                        value = pmax(0, value))]
}

# ---- Mehlich-3 ---------------------------------------------------------------------------------------------------
icp <- readings[method == "mehlich3-icp"]
if (nrow(icp) > 0) {
  internal <- icp[quantity == "Y 371.029", .(y = mean(value)), by = .(run, position, role)]
  internal[, factor := mean(y[role == "standard"]) / y, by = run]
  lines <- icp[quantity != "Y 371.029", .(counts = mean(value)),
               by = .(run, position, role, identity, dilution, quantity)]
  lines[internal, factor := i.factor, on = .(run, position)]
  lines[, `:=`(signal = counts * factor, analyte = sub(" .*", "", quantity))]
  known <- standards[method == "mehlich3-icp", .(identity = standard, analyte, x = value)]
  fit <- lines[role == "standard"][known, x := i.x, on = .(identity, analyte)][!is.na(x) & !is.na(signal)]
  curve <- fit[, {
    w <- 1 / pmax(x, min(x[x > 0]))
    xm <- sum(w * x) / sum(w)
    ym <- sum(w * signal) / sum(w)
    b <- sum(w * (x - xm) * (signal - ym)) / sum(w * (x - xm)^2)
    .(a = ym - b * xm, b = b, top = max(x))
  }, by = .(run, analyte)]
  lines[curve, `:=`(extract = (signal - i.a) / i.b, top = i.top), on = .(run, analyte)]
  blank <- lines[role == "blank" & 100 / factor >= 70 & 100 / factor <= 130,
                 .(blank = mean(extract)), by = .(run, analyte)]
  lines[, blank := 0]
  lines[blank, blank := i.blank, on = .(run, analyte)]
  lines <- lines[role %in% c("sample", "duplicate", "control")]
  results$icp <- lines[, .(run, position, role, identity, method = "mehlich3-icp", analyte, dilution,
                           value = (extract - blank) * dilution * 10 / 1)]
}

all <- rbindlist(results)

# ---- control check -----------------------------------------------------------------------------------------------
check <- all[role %in% c("sample", "control")]
check[, material := identity]
check[hidden, material := i.material, on = c(identity = "lab_number")]
check <- check[materials, on = .(material, method, analyte), nomatch = NULL,
               .(run, position, identity, material, method, analyte, value, z = (value - mean) / sd)]
check[, failed := abs(z) > 3]
fwrite(check[order(run, position, analyte)], file.path(out, "controls.csv"))

soils <- all[role == "sample", .(lab_number = identity, run, position, method, analyte, dilution, value)]
setorder(soils, run, position, analyte)
fwrite(soils, file.path(out, "results.csv"))
cat(sprintf("%d results, %d control values, %d outside three standard deviations\n", nrow(soils), nrow(check), sum(check$failed, na.rm = TRUE)))
