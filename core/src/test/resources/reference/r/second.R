# The statistics of the program once more, in base R: reads records of doubles (number of the function, how many values follow, the
# values) and writes for each the number of results and the results, in the same order. Nothing here is shared with the program.
paths <- commandArgs(TRUE)
input <- readBin(paths[1], "double", file.size(paths[1]) / 8, endian = "little")

polynomial <- function(v, degree) {
  n <- v[1]; k <- v[2]; signal <- v[3]; readings <- v[4]
  x <- v[5:(4 + n)]; y <- v[(5 + n):(4 + 2 * n)]
  lowest <- min(x[x > 0])
  weight <- function(at) switch(k + 1, 1, 1 / pmax(at, lowest), 1 / pmax(at, lowest)^2)
  w <- rep_len(weight(x), n)
  fit <- lm.wfit(outer(x, 0:degree, "^"), y, w, tol = 1e-12)
  p <- degree + 1
  s2 <- sum(w * fit$residuals^2) / (n - p)
  covariance <- s2 * chol2inv(fit$qr$qr[1:p, 1:p, drop = FALSE])
  b <- unname(fit$coefficients)
  at <- uniroot(function(x) sum(b * x^(0:degree)) - signal, c(-0.2, 1.2) * max(x), tol = 1e-15)$root
  slope <- sum(b[-1] * (1:degree) * at^(0:(degree - 1)))
  at <- at - (sum(b * at^(0:degree)) - signal) / slope
  powers <- at^(0:degree)
  se <- sqrt(s2 / (weight(at) * readings) + drop(powers %*% covariance %*% powers)) / abs(slope)
  list(b = b, covariance = covariance, s = sqrt(s2), at = at, se = se, x = x, y = y, weight = weight, readings = readings, p = p)
}

robust <- function(v, start, factor, settled) {
  m <- median(v); s <- start * median(abs(v - m)); n <- length(v)
  repeat {
    pulled <- pmin(pmax(v, m - 1.5 * s), m + 1.5 * s)
    nm <- mean(pulled); ns <- factor * sqrt(sum((pulled - nm)^2) / (n - 1))
    unit <- 10^(floor(log10(ns)) - 2)
    done <- if (settled) max(abs(ns - s), abs(nm - m)) <= 1e-12 * ns + 1e-15 * abs(nm)
      else round(ns / unit) == round(s / unit) && round(nm / unit) == round(m / unit)
    m <- nm; s <- ns
    if (done) return(c(m, s))
  }
}

constants <- new.env()
chart <- function(n) {
  key <- as.character(n)
  if (is.null(constants[[key]])) {
    tight <- function(f, a, b) integrate(f, a, b, rel.tol = 1e-12, subdivisions = 2000L)$value
    d2 <- tight(function(x) 1 - pnorm(x)^n - pnorm(x, lower.tail = FALSE)^n, -9, 9)
    above <- function(r) vapply(r, function(one) 1 - n * tight(function(x) dnorm(x) * (pnorm(x + one) - pnorm(x))^(n - 1), -9, 9), 0)
    d3 <- sqrt(2 * tight(function(r) r * above(r), 0, 14) - d2^2)
    c4 <- sqrt(2 / (n - 1)) * exp(lgamma(n / 2) - lgamma((n - 1) / 2))
    constants[[key]] <- c(d2, d3, c4, 3 / (d2 * sqrt(n)), 3 / (c4 * sqrt(n)), max(0, 1 - 3 * sqrt(1 - c4^2) / c4),
      1 + 3 * sqrt(1 - c4^2) / c4, max(0, 1 - 3 * d3 / d2), 1 + 3 * d3 / d2)
  }
  constants[[key]]
}

dixon <- function(v) {
  v <- sort(v); n <- length(v)
  if (n <= 7) (v[n] - v[n - 1]) / (v[n] - v[1])
  else if (n <= 10) (v[n] - v[n - 1]) / (v[n] - v[2])
  else if (n <= 13) (v[n] - v[n - 2]) / (v[n] - v[2])
  else (v[n] - v[n - 2]) / (v[n] - v[3])
}

# Chance of a Dixon ratio above r: outer integral over the largest value, inner one over the low end; the program does it the other way.
dixonAbove <- function(r, n) {
  i <- if (n <= 10) 1 else 2
  j <- if (n <= 7) 0 else if (n <= 13) 1 else 2
  k <- n - i - j - 2
  ways <- exp(lgamma(n + 1) - lgamma(k + 1) - lgamma(j + 1))
  # In pieces, so that integrate() cannot step over the peak.
  pieces <- function(f, ends, tol) sum(mapply(function(a, b) integrate(f, a, b, rel.tol = tol, abs.tol = 1e-12)$value,
    head(ends, -1), ends[-1]))
  inner <- function(x) vapply(x, function(top) {
    dnorm(top) * pieces(function(low) {
      a <- pnorm(top - r * (top - low)) - pnorm(low)
      whole <- pnorm(top) - pnorm(low)
      gap <- if (i == 1) a^(k + 1) / (k + 1) else whole * a^(k + 1) / (k + 1) - a^(k + 2) / (k + 2)
      dnorm(low) * pnorm(low)^j * gap
    }, c(-9, Filter(function(e) e < top, c(-3, -1.5, 0)), top), 1e-9)
  }, 0)
  ways * pieces(inner, c(-6, -1, 0.5, 2, 3.5, 9), 1e-8)
}

functions <- list(
  spread = function(v) {
    d <- v - mean(v); n <- length(v)
    c(mean(v), sd(v), sum(d[-n] * d[-1]) / sum(d^2))
  },
  robust = function(v) c(median(v), mad(v, constant = 1 / qnorm(0.75)), quantile(v, c(0.1, 0.25, 0.9)), IQR(v) / (2 * qnorm(0.75))),
  algorithmA = function(v) {
    beta <- integrate(function(z) pmin(z^2, 2.25) * dnorm(z), 0, 1.5, rel.tol = 1e-13)$value +
      2.25 * pnorm(1.5, lower.tail = FALSE)
    c(robust(v, 1 / qnorm(0.75), 1 / sqrt(2 * beta), TRUE), robust(v, 1.483, 1.134, FALSE))
  },
  line = function(v) {
    f <- polynomial(v, 1)
    c(f$b, f$covariance[c(1, 3, 4)], f$s, f$at, f$se)
  },
  quadratic = function(v) {
    f <- polynomial(v, 2)
    c(f$b, f$covariance[c(1, 4, 7, 5, 8, 9)], f$s, f$at, f$se)
  },
  linearity = function(v) {
    line <- polynomial(v, 1); bent <- polynomial(v, 2); n <- v[1]
    rss1 <- line$s^2 * (n - 2); rss2 <- bent$s^2 * (n - 3)
    (rss1 - rss2) / (rss2 / (n - 3))
  },
  detection = function(v) {
    f <- polynomial(v, 1); n <- v[1]
    se <- function(x) sqrt(f$s^2 / (f$weight(x) * f$readings) + f$covariance[1] + 2 * x * f$covariance[2] + x^2 * f$covariance[4]) / abs(f$b[2])
    critical <- qt(0.01, n - 2, lower.tail = FALSE) * se(0)
    t <- qt(0.005, n - 2, lower.tail = FALSE)
    limit <- critical
    for (step in 1:500) limit <- 3 * t * se(limit)
    c(critical, 2 * critical, limit)
  },
  regression = function(v) {
    n <- v[1]; p <- v[2]
    x <- matrix(v[3:(2 + n * p)], n, p, byrow = TRUE)
    y <- v[(3 + n * p):(2 + n * p + n)]; w <- v[(3 + n * p + n):(2 + n * p + 2 * n)]
    fit <- lm.wfit(x, y, w)
    rss <- sum(w * fit$residuals^2); s2 <- rss / (n - p)
    covariance <- s2 * chol2inv(fit$qr$qr[1:p, 1:p])
    centre <- sum(w * y) / sum(w)
    ess <- sum(w * (fit$fitted.values - centre)^2)
    c(fit$coefficients, sqrt(diag(covariance)), sqrt(s2), ess / (ess + rss), ess / (p - 1) / s2)
  },
  analysis = function(v) {
    p <- v[1]; sizes <- v[2:(1 + p)]; y <- v[-(1:(1 + p))]
    g <- factor(rep(seq_len(p), sizes)); n <- length(y)
    test <- oneway.test(y ~ g, var.equal = TRUE)
    means <- tapply(y, g, mean)
    ssw <- sum((y - means[g])^2); ssb <- sum(sizes * (means - mean(y))^2)
    sr2 <- ssw / (n - p)
    sl2 <- max(0, (ssb / (p - 1) - sr2) / ((n - sum(sizes^2) / n) / (p - 1)))
    sR <- sqrt(sl2 + sr2)
    c(ssb, ssw, test$statistic, test$p.value, sqrt(sr2), sqrt(sl2), sR, qnorm(0.975) * sqrt(2) * sR)
  },
  pooled = function(v) {
    k <- length(v) / 4
    s <- v[1:k]; nu <- v[(k + 1):(2 * k)]; a <- v[(2 * k + 1):(3 * k)]; b <- v[(3 * k + 1):(4 * k)]
    c(sqrt(weighted.mean(s^2, nu)), sqrt(mean((a - b)^2) / 2), 100 * abs(a[1] - b[1]) / mean(c(a[1], b[1])))
  },
  grubbs = function(v) {
    y <- v[-(1:2)]; n <- length(y); t <- qt(v[1] / (v[2] * n), n - 2, lower.tail = FALSE)
    low <- sort(y)
    c(max(abs(scale(y))), (n - 1) / sqrt(n) * sqrt(t^2 / (n - 2 + t^2)),
      var(low[1:(n - 2)]) * (n - 3) / (var(y) * (n - 1)), var(low[3:n]) * (n - 3) / (var(y) * (n - 1)))
  },
  cochran = function(v) {
    p <- v[1]; n <- v[2]; s2 <- v[-(1:3)]
    c(max(s2) / sum(s2), 1 / (1 + (p - 1) / qf(v[3] / p, n - 1, (p - 1) * (n - 1), lower.tail = FALSE)))
  },
  dixon = function(v) c(dixon(v), dixon(-v)),
  dixonChance = function(v) dixonAbove(v[1], v[2]),
  distributions = function(v) c(qnorm(v[1]), qt(v[1], v[2]), qf(v[1], v[2], v[3]), qchisq(v[1], v[2]),
    pf(v[4], v[2], v[3], lower.tail = FALSE)),
  # Not ptukey(), which is good to five figures only.
  range = function(v) vapply(v[c(1, 3)], function(r) {
    integrate(function(x) v[2] * dnorm(x) * (pnorm(x + r) - pnorm(x))^(v[2] - 1), -9, 9, rel.tol = 1e-11)$value
  }, 0),
  chart = function(v) chart(v[1]),
  methodLimit = function(v) {
    k <- v[1]; spikes <- v[2:(1 + k)]; blanks <- v[-(1:(1 + k))]
    s <- qt(0.99, k - 1) * sd(spikes)
    b <- max(0, mean(blanks)) + qt(0.99, length(blanks) - 1) * sd(blanks)
    c(s, b, max(s, b), sqrt((k - 1) / qchisq(c(0.975, 0.025), k - 1)))
  },
  scores = function(v) c((v[1] - v[2]) / v[3], (v[1] - v[2]) / sqrt(v[3]^2 + v[4]^2), (v[1] - v[2]) / sqrt(v[5]^2 + v[4]^2)),
  horwitz = function(v) c(2 * v[1]^-0.1505, if (v[1] < 1.2e-7) 0.22 * v[1] else if (v[1] > 0.138) 0.01 * v[1]^0.5 else 0.02 * v[1]^0.8495)
)

results <- vector("list", 100000)
count <- 0
at <- 1
while (at <= length(input)) {
  size <- input[at + 1]
  found <- unname(functions[[input[at]]](input[at + 1 + seq_len(size)]))
  count <- count + 1
  results[[count]] <- c(length(found), found)
  at <- at + 2 + size
}
writeBin(as.double(unlist(results[seq_len(count)])), paths[2], endian = "little")
