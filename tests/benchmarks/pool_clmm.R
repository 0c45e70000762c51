# A cumulative-link mixed model (probit, equidistant thresholds, Laplace) on the same trials, for time only.
# usage: Rscript pool_clmm.R IN.csv OUT.csv      IN columns: club, stone, rater, steel, y
suppressMessages({
  library(ordinal)
  library(data.table)
})
args <- commandArgs(TRUE)
trials <- fread(args[1])
levels <- seq(min(trials$y), max(trials$y), 0.5)
trials[, `:=`(stone = factor(stone), rater = factor(rater), steel = factor(steel),
              grade = factor(y, levels = levels, ordered = TRUE))]
seconds <- function() sum(proc.time()[1:2])
began <- seconds()
model <- suppressWarnings(
  clmm(grade ~ steel + (1 | stone) + (1 | rater), data = trials, link = "probit", threshold = "equidistant")
)
spent <- seconds() - began
fwrite(data.table(stone = rownames(ranef(model)$stone), effect = ranef(model)$stone[, 1]), args[2])
cat("seconds", spent, "\n")
