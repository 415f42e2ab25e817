# One line in, "work file count"; one line out, wall ms, processor ms and the answer. Packages load when first used.
options(digits = 17)
numbers <- function(file) scan(file, quiet = TRUE)
works <- list(
  csv = function(file, count) {
    data.table::setDTthreads(1)
    d <- data.table::fread(file, showProgress = FALSE)
    c(nrow(d), sum(d[[2]]))
  },
  `tolerance-one` = function(file, count) {
    factor <- function(n) qt(0.95, n - 1, qnorm(0.95) * sqrt(n)) / sqrt(n)
    for (i in seq_len(count)) factor(10 + i %% 20)
    factor(10)
  },
  `tolerance-two` = function(file, count) {
    factor <- function(n) {
      df <- n - 1
      radius <- function(z) uniroot(function(r) pnorm(z + r) - pnorm(z - r) - 0.95, c(0, 10), tol = 1e-11)$root
      held <- function(k) 2 * integrate(function(z) {
        r <- vapply(z / sqrt(n), radius, 0)
        dnorm(z) * pchisq(df * (r / k)^2, df, lower.tail = FALSE)
      }, 0, 9, rel.tol = 1e-10)$value
      uniroot(function(k) held(k) - 0.95, c(1.5, 5), tol = 1e-10)$root
    }
    for (i in seq_len(count)) factor(10 + i %% 20)
    factor(10)
  },
  weibull = function(file, count) {
    d <- matrix(numbers(file), ncol = 2, byrow = TRUE)
    s <- survival::Surv(d[, 1], d[, 2])
    for (i in seq_len(count)) f <- survival::survreg(s ~ 1, dist = "weibull")
    c(1 / f$scale, exp(unname(coef(f))))
  },
  bootstrap = function(file, count) {
    x <- numbers(file)
    set.seed(1)
    for (i in seq_len(count)) {
      b <- boot::boot(x, function(v, i) mean(v[i]), R = 10000)
      interval <- boot::boot.ci(b, type = "bca")$bca[4:5]
    }
    interval
  },
  permutation = function(file, count) {
    x <- numbers(file)
    g <- factor(rep(1:2, each = length(x) / 2))
    for (i in seq_len(count)) p <- coin::pvalue(coin::oneway_test(x ~ g, distribution = "exact"))
    p
  },
  `permutation-ranks` = function(file, count) {
    x <- round(100 * numbers(file))
    half <- length(x) / 2
    for (i in seq_len(count))
      p <- exactRankTests::perm.test(x[seq_len(half)], x[half + seq_len(half)], exact = TRUE)$p.value
    p
  },
  `permutation-all` = function(file, count) {
    x <- numbers(file)
    half <- length(x) / 2
    sums <- combn(x, half, sum)
    middle <- sum(x) / 2
    mean(abs(sums - middle) >= abs(sum(x[seq_len(half)]) - middle) - 1e-9)
  },
  `slip-fit` = function(file, count) {
    d <- matrix(numbers(file), ncol = 3, byrow = TRUE)
    t <- (d[, 1] - min(d[, 1])) / diff(range(d[, 1]))
    y <- log(d[, 2])
    slipped <- d[, 3] == 1
    # level, growth, log scatter of slip; plateau, log scatter of break
    minus <- function(at) {
      z <- (y - at[1] - at[2] * t) / exp(at[3])
      u <- (y - at[4]) / exp(at[5])
      -sum(ifelse(slipped, dnorm(z, log = TRUE) - at[3], pnorm(z, lower.tail = FALSE, log.p = TRUE)),
        ifelse(slipped, pnorm(u, lower.tail = FALSE, log.p = TRUE), dnorm(u, log = TRUE) - at[5]))
    }
    gradient <- function(at) {
      s <- exp(at[3])
      z <- (y - at[1] - at[2] * t) / s
      b <- exp(at[5])
      u <- (y - at[4]) / b
      dz <- ifelse(slipped, -z, -exp(dnorm(z, log = TRUE) - pnorm(z, lower.tail = FALSE, log.p = TRUE)))
      du <- ifelse(slipped, -exp(dnorm(u, log = TRUE) - pnorm(u, lower.tail = FALSE, log.p = TRUE)), -u)
      -c(-sum(dz) / s, -sum(dz * t) / s, -sum(dz * z) - sum(slipped), -sum(du) / b, -sum(du * u) - sum(!slipped))
    }
    from <- c(mean(y[slipped]) - 0.12, 0.6, log(0.12), mean(y[!slipped]), log(0.08))
    for (i in seq_len(count)) top <- optim(from, minus, gradient, method = "BFGS", control = list(reltol = 1e-10))
    -top$value
  },
  mixed = function(file, count) {
    d <- as.data.frame(matrix(numbers(file), ncol = 3, byrow = TRUE))
    for (i in seq_len(count)) {
      m <- lmerTest::lmer(V1 ~ V2 + (1 | V3), data = d, REML = TRUE)
      f <- coef(summary(m))
      half <- qt(0.975, f[, "df"]) * f[, "Std. Error"]
    }
    c(f[2, 1], sqrt(unlist(lme4::VarCorr(m))), sigma(m), f[, "df"], f[, 1] - half, f[, 1] + half)
  },
  `mixed-fit` = function(file, count) {
    d <- as.data.frame(matrix(numbers(file), ncol = 3, byrow = TRUE))
    for (i in seq_len(count)) m <- lme4::lmer(V1 ~ V2 + (1 | V3), data = d, REML = TRUE)
    c(unname(lme4::fixef(m)[2]), sqrt(unlist(lme4::VarCorr(m))), sigma(m))
  }
)
# Done once, whatever the count, since it takes long: its time is told times the count.
once <- "permutation-all"
input <- file("stdin", "r")
while (length(line <- readLines(input, n = 1)) == 1) {
  asked <- strsplit(line, " ")[[1]]
  from <- proc.time()
  wall <- Sys.time()
  answer <- suppressWarnings(works[[asked[1]]](asked[2], as.integer(asked[3])))
  ms <- as.numeric(Sys.time() - wall, units = "secs") * 1000
  took <- (proc.time() - from) * 1000
  if (asked[1] %in% once) {
    ms <- ms * as.integer(asked[3])
    took <- took * as.integer(asked[3])
  }
  cat(ms, took[[1]] + took[[2]], format(answer, digits = 17), "\n")
  flush(stdout())
}
